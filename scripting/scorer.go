package scripting

var scorerCalls = []partCall{
	{"scored()", "pieces that it has put into goals: it works when the conveyor feeds it",
		func(c call) int { return c.pushNumber(float64(c.status().Scored)) }},
	{"jammed()", "whether the conveyor's first piece cannot leave", isJammed},
}
