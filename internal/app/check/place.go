package check

import "fmt"

// ran is "line 14", with the file where it is not the routine's own.
func (j *judgement) ran(file string, line int) string {
	if file == j.robot().Routine.Name {
		return fmt.Sprintf("line %d", line)
	}
	return fmt.Sprintf("%s:%d", file, line)
}
