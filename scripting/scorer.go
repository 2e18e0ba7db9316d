package scripting

var scorerMethods = map[string]method{
	"scored": func(c call) int { return c.pushNumber(float64(c.status().Scored)) }, "jammed": isJammed,
}
