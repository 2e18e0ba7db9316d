// Package sandbox runs Lua 5.1 that nobody has vetted: without files, processes, clocks or bytecode, on a budget of
// steps and memory that is exact and repeatable, so that an endless loop, a string doubled thirty times or a pattern
// that backtracks for ever ends in an error that names file and line, the same one on every machine.
//
// How it counts. gopher-lua asks its context for Done before every instruction. The context here is ours: it counts the
// instruction, looks at those that can cost more than one step (a concatenation, a sparse assignment, a comparison of
// long strings) before they run, and charges them by size. The library functions are our own or wrapped, and charge
// in the same way. Memory is charged by an upper estimate; when enough has been charged, a heap estimate walks all that
// Lua can reach and the estimate starts again from there.
//
// A broken budget cannot be caught: the goroutine that ran the Lua ends (runtime.Goexit), so pcall never sees it. Every
// piece of Lua therefore runs on a goroutine of its own, which the caller starts.
package sandbox
