// Package wording is how the program words what people read: the word that a mistyped one was meant to be, tables whose
// columns line up, and text that a terminal shows instead of obeying.
package wording
