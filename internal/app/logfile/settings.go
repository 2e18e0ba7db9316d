package logfile

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/tomlfile"
	"chalkfield/internal/base/wording"
)

// SettingsName is the file beside logs that says what their columns are.
const SettingsName = "log.toml"

// Settings say what a log's own header does not.
type Settings struct {
	Wheel
	Battery float64         `toml:"battery" unit:"V" min:"1 V" max:"60 V"` // of a log with shares and no battery column
	Columns []ColumnSetting `toml:"columns"`

	size int64 // of the log's file, bytes; 0: not known
}

// Wheel converts turns and ticks.
type Wheel struct {
	Diameter float64 `toml:"wheel_diameter" unit:"m" min:"10 mm" max:"600 mm"`
	Ticks    float64 `toml:"ticks_per_turn" min:"1" max:"1e6"` // of the wheel, not of the motor
}

// ColumnSetting is about one column.
type ColumnSetting struct {
	Name     string `toml:"name" need:"'motor_a'"` // its header in the file
	Is       string `toml:"is"`                    // "left V"; left out: what its header says
	Reversed bool   `toml:"reversed"`
	Bits     int    `toml:"bits" min:"8" max:"32"` // of a counter that starts again when it is full

	from string
}

// Open reads a log file: as the log.toml in its folder says, and above that as columns do, "left V=motor_a, ...".
func Open(path, columns string) (*Log, error) {
	settings, err := readSettings(filepath.Join(filepath.Dir(path), SettingsName))
	if err != nil {
		return nil, err
	}
	if err := settings.add(columns); err != nil {
		return nil, err
	}
	file, err := atomicfile.Open(path, atomicfile.Log)
	if err != nil {
		return nil, err
	}
	if info, err := os.Stat(path); err == nil {
		settings.size = info.Size()
	}
	defer file.Close()
	return Read(path, file, settings)
}

// readSettings reads the file if there is one.
func readSettings(path string) (Settings, error) {
	settings := Settings{}
	data, err := tomlfile.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return settings, nil
	}
	if err != nil {
		return settings, fmt.Errorf("%s: cannot be read: %w", path, atomicfile.Cause(err))
	}
	at, err := tomlfile.Decode(path, data, &settings)
	if err != nil {
		return settings, err
	}
	for i := range settings.Columns {
		c := &settings.Columns[i]
		c.from = SettingsName
		if c.Is == "" {
			continue
		}
		if _, known, err := understand(c.Is, settings.Wheel); err != nil || !known {
			at.Errorf(fmt.Sprintf("columns[%d].is", i), "%s", unknownQuantity(c.Is, err))
		}
	}
	return settings, at.Err()
}

// add takes "left V=motor_a, heading deg=imu_z": these win over what is there.
func (s *Settings) add(text string) error {
	if strings.TrimSpace(text) == "" {
		return nil
	}
	var first []ColumnSetting
	for _, one := range strings.Split(text, ",") {
		is, name, paired := strings.Cut(one, "=")
		is, name = strings.TrimSpace(is), strings.TrimSpace(name)
		if !paired || is == "" || name == "" {
			return fmt.Errorf("--columns: %q is no column: write what it is, =, and its name in the log, such as "+
				"\"left V=motor_a, heading deg=imu_z\"", strings.TrimSpace(one))
		}
		if _, known, err := understand(is, s.Wheel); err != nil || !known {
			return fmt.Errorf("--columns: %s", unknownQuantity(is, err))
		}
		first = append(first, ColumnSetting{Name: name, Is: is, from: "--columns"})
	}
	s.Columns = append(first, s.Columns...)
	return nil
}

func unknownQuantity(text string, err error) string {
	if err != nil {
		return err.Error()
	}
	var all []string
	name, _ := parted(text)
	for _, k := range kinds {
		for _, ours := range k.names {
			all = append(all, ours+" "+k.units()[0])
			if wording.Nearest(name, []string{ours}) != "" {
				return fmt.Sprintf("%q is no quantity of a log: write %q", text, all[len(all)-1])
			}
		}
	}
	return fmt.Sprintf("%q is no quantity of a log: %s", text, wording.Instead(text, all))
}
