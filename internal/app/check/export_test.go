package check

// TextOf is what is told of an outcome, by a package above this one.
var TextOf func(*Outcome) string
