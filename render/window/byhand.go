package window

import (
	"embed"

	"chalkfield/scripting"
)

// byHand are the routines that drive a robot whose own has no driver function.
//
//go:embed byhand/*.lua
var byHand embed.FS

// handRoutine is the one for arcade or tank.
func handRoutine(tank bool) (*scripting.Program, error) {
	name := "byhand/arcade.lua"
	if tank {
		name = "byhand/tank.lua"
	}
	return scripting.LoadFS(byHand, name)
}
