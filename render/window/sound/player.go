package sound

import (
	"bytes"
	"os"
	"path/filepath"
	"runtime"
	"time"

	"github.com/ebitengine/oto/v3"
)

// Player plays sounds on the system's device, as soon as it is there.
type Player struct {
	opened  chan *oto.Context // gives it once; nil: there is none
	context *oto.Context
	silent  bool // there is no device, or it is gone
	sounds  [kinds][]byte
	playing []*oto.Player // kept, because one that nobody holds stops
}

// delay is what the device keeps ready: a sound is as much late.
const delay = 40 * time.Millisecond

// Open asks for the system's device and does not wait for it. A process has one Player.
func Open() *Player {
	p := &Player{opened: make(chan *oto.Context, 1)}
	for kind := range p.sounds {
		p.sounds[kind] = samples(tones[kind])
	}
	go func() {
		if runtime.GOOS == "linux" && !deviceInSight() {
			p.opened <- nil
			return
		}
		context, ready, err := oto.NewContext(&oto.NewContextOptions{SampleRate: Rate, ChannelCount: 1,
			Format: oto.FormatSignedInt16LE, BufferSize: delay, ApplicationName: "Chalkfield"})
		if err == nil {
			<-ready
			err = context.Err()
		}
		if err != nil {
			context = nil
		}
		p.opened <- context
	}()
	return p
}

// deviceInSight reports whether a Linux system has a sound server, or a device of its own: to ask for one that is not
// there makes the system's library write on standard error.
func deviceInSight() bool {
	if os.Getenv("PULSE_SERVER") != "" {
		return true
	}
	for _, pattern := range []string{filepath.Join(os.Getenv("XDG_RUNTIME_DIR"), "pulse", "native"), "/dev/snd/pcm*p"} {
		if found, err := filepath.Glob(pattern); err == nil && len(found) > 0 {
			return true
		}
	}
	return false
}

// Play begins a sound beside those that are heard. While there is no device it does nothing.
func (p *Player) Play(kind Kind) {
	if p.context == nil && !p.silent {
		select {
		case p.context = <-p.opened:
			p.silent = p.context == nil
		default:
			return
		}
	}
	if p.silent || p.context.Err() != nil {
		p.silent = true
		return
	}
	still := p.playing[:0]
	for _, one := range p.playing {
		if one.IsPlaying() {
			still = append(still, one)
		}
	}
	one := p.context.NewPlayer(bytes.NewReader(p.sounds[kind]))
	one.Play()
	p.playing = append(still, one)
}

// Silent reports whether it is known that there is no device.
func (p *Player) Silent() bool { return p.silent }
