// Chalkfield rehearses a student robot's autonomous routine on a simulated field.
package main

import (
	"os"

	"chalkfield/internal/app/command"
)

func main() { os.Exit(command.Main(os.Args[1:], os.Stdout, os.Stderr)) }
