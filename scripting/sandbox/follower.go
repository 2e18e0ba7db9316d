package sandbox

import lua "github.com/yuin/gopher-lua"

// follower is the watch of a box that tells which lines run.
type follower struct {
	watch
	at []spot // of the functions under way, by their depth
}

// spot is the instruction that a function ran last.
type spot struct {
	proto    *lua.FunctionProto
	line, pc int
}

// Done tells of a line that begins: the function has come to it from another, or has gone back within it, as a loop
// does. Coming back to it out of a call is no beginning.
func (w *follower) Done() <-chan struct{} {
	f := *w.running
	now := spot{f.Fn.Proto, f.line(), f.Pc}
	begins := true
	if f.Idx < len(w.at) {
		last := w.at[f.Idx]
		begins = last.proto != now.proto || last.line != now.line || now.pc <= last.pc
	}
	for f.Idx >= len(w.at) {
		w.at = append(w.at, spot{})
	}
	w.at = w.at[:f.Idx+1] // what was called has ended
	w.at[f.Idx] = now
	if begins {
		w.box.ran(now.proto.SourceName, now.line)
	}
	return w.watch.Done()
}
