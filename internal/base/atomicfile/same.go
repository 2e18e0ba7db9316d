package atomicfile

import (
	"os"
	"path/filepath"
)

// Same reports whether two paths lead to one file, which need not be there yet.
func Same(a, b string) bool {
	infoA, errA := os.Stat(a)
	infoB, errB := os.Stat(b)
	if errA == nil && errB == nil {
		return os.SameFile(infoA, infoB)
	}
	return whole(a) == whole(b)
}

// whole is a path from the root on, where that can be told.
func whole(path string) string {
	if whole, err := filepath.Abs(path); err == nil {
		return whole
	}
	return filepath.Clean(path)
}
