package analysis

import "chalkfield/internal/app/study/results"

// TextOf is what is told of a study, by a package above this one.
var TextOf func(*results.File) (string, error)
