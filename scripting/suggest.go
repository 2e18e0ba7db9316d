package scripting

import (
	"cmp"
	"slices"
	"strings"

	"chalkfield/internal/base/wording"
)

// saidElsewhere are methods that a routine's objects have, by words that others use for them, in small letters. Of
// several the first counts that the object has.
var saidElsewhere = map[string][]string{
	"close": {"shut", "grab"}, "open": {"drop"}, "shut": {"grab"}, "clamp": {"shut"}, "release": {"open", "drop"},
	"unclamp": {"open"}, "pick": {"grab"}, "pickup": {"grab"}, "take": {"grab"},
	"extend": {"out"}, "deploy": {"out"}, "retract": {"back"}, "stow": {"back"}, "eject": {"give", "run"},
	"put":   {"place"},
	"start": {"run"}, "on": {"run"}, "spin": {"run"}, "set": {"run", "volts", "to"}, "power": {"run", "volts"},
	"voltage": {"run", "volts"},
	"off":     {"stop"}, "halt": {"stop"}, "brake": {"stop"}, "reset": {"stop"}, "cancel": {"stop"},
	"move":    {"run", "ahead", "to"},
	"forward": {"ahead"}, "forwards": {"ahead"}, "backward": {"ahead"}, "backwards": {"ahead"}, "drive": {"ahead"},
	"straight": {"ahead"},
	"turn":     {"face"}, "rotate": {"face"}, "turn_to": {"face"},
	"go": {"visit", "to"}, "go_to": {"visit", "to"}, "goto": {"visit", "to"}, "move_to": {"visit", "to"},
	"drive_to": {"visit"}, "follow": {"trace"},
	"path": {"trace"}, "curve": {"trace"}, "up": {"to"}, "down": {"to"}, "raise": {"to"}, "lower": {"to"},
	"position": {"angle", "height"},
	"wait":     {"join"}, "finish": {"join"}, "kill": {"cancel"}, "get": {"read"}, "value": {"read"}, "distance": {"mm"},
	"is_holding": {"holding"}, "has": {"holding"}, "is_open": {"is_shut"}, "is_closed": {"is_shut"},
	"closed": {"is_shut"}, "is_moving": {"moving"},
	"size": {"count"}, "pieces": {"count"}, "current": {"amps"}, "detects": {"sees"}, "detected": {"sees"},
	"is_pressed": {"pressed"},
	"compute":    {"update"}, "step": {"update"}, "calculate": {"update"}, "is_done": {"done"}, "finished": {"done"},
}

// home is a thing that a routine reaches under a name, and what is behind its dot or colon.
type home struct {
	owner string // "bot.drive"
	names []string
	calls bool // the names are methods
}

// suggest is the end of a message about a name that a thing does not have: what to write instead.
func (h *Host) suggest(owner, name string, known []string) string {
	meant := wording.Nearest(name, known)
	if meant == "" {
		for _, other := range saidElsewhere[strings.ToLower(name)] {
			if slices.Contains(known, other) {
				meant = other
				break
			}
		}
	}
	return wording.Rather(cmp.Or(meant, h.elsewhere(owner, name)), known)
}

// elsewhere is where else a name stands: in one place, or in the first of several. A word for it counts last.
func (h *Host) elsewhere(owner, name string) string {
	for _, word := range append([]string{name}, saidElsewhere[strings.ToLower(name)]...) {
		for _, other := range h.homes {
			if other.owner == owner || !slices.Contains(other.names, word) {
				continue
			}
			if other.calls {
				return other.owner + ":" + word
			}
			return other.owner + "." + word
		}
	}
	return ""
}
