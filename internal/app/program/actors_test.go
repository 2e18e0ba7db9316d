package program

import (
	"bufio"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"chalkfield/scripting/talk"
)

// TestMain: this test binary is also the programs that the tests start, by the words "as NAME TOKEN".
func TestMain(m *testing.M) {
	if len(os.Args) == 4 && os.Args[1] == "as" {
		actors[os.Args[2]](newStage())
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// stage is a program's side of the talk.
type stage struct {
	in      *bufio.Reader
	message map[string]any
}

func newStage() *stage { return &stage{in: bufio.NewReaderSize(os.Stdin, 1<<20)} }

// listen takes the next message; the program ends with its input.
func (s *stage) listen() string {
	line, err := s.in.ReadBytes('\n')
	if err != nil {
		os.Exit(0)
	}
	s.message = map[string]any{}
	if err := json.Unmarshal(line, &s.message); err != nil {
		panic(err)
	}
	return s.message["message"].(string)
}

func (s *stage) say(answer any) {
	line, err := json.Marshal(answer)
	if err != nil {
		panic(err)
	}
	os.Stdout.Write(append(line, '\n'))
}

// ready answers the hello.
func (s *stage) ready() {
	s.listen()
	s.say(talk.Ready{Answer: "ready", Title: "an actor", Start: &talk.Pose{X: 600, Y: 450, Heading: 90},
		Phases: []string{"auto"}, Params: []talk.Param{{Name: "volts", Default: 4, Least: 0, Greatest: 12}}})
}

// tick goes on to the next tick and returns its number.
func (s *stage) tick() int {
	for s.listen() != "tick" {
	}
	return int(s.message["number"].(float64))
}

// drive answers a tick by driving.
func (s *stage) drive(number int) {
	s.say(talk.Answer{Answer: "commands", To: number, Commands: []talk.Command{{Do: "drive.volts", With: []any{4, 4}}}})
}

// after plays well for ten ticks.
func after(then func(s *stage, number int)) func(*stage) {
	return func(s *stage) {
		s.ready()
		for range 10 {
			s.drive(s.tick())
		}
		then(s, s.tick())
	}
}

// good drives 300 mm ahead.
func good(s *stage) {
	s.ready()
	for {
		answer := talk.Answer{Answer: "commands", To: s.tick(), Done: true}
		if answer.To == 1 {
			answer.Done, answer.Wait = false, 60
			answer.Commands = []talk.Command{{Do: "drive.ahead", With: []any{300, map[string]any{"speed": 500}}, ID: 1}}
		}
		s.say(answer)
	}
}

// actors are programs by name: good ones and bad ones.
var actors = map[string]func(*stage){
	"good": good,
	"once": func(s *stage) { // ends with the rehearsal
		s.ready()
		s.say(talk.Answer{Answer: "commands", To: s.tick(), Done: true})
		for s.listen() != "end" {
		}
	},
	"random": func(s *stage) { // not the same twice
		s.ready()
		for {
			s.say(talk.Answer{Answer: "commands", To: s.tick(), Done: true, Commands: []talk.Command{
				{Do: "drive.volts", With: []any{float64(os.Getpid()%100) / 20, 3}}}})
		}
	},
	"steady": func(s *stage) {
		s.ready()
		for {
			s.drive(s.tick())
		}
	},
	"chatter": func(s *stage) { // writes much to its standard error, and drives well
		go func() {
			for {
				fmt.Fprintln(os.Stderr, strings.Repeat("chatter ", 100))
			}
		}()
		good(s)
	},
	"mute":  func(s *stage) { time.Sleep(time.Hour) },
	"hangs": after(func(*stage, int) { time.Sleep(time.Hour) }),
	"spins": after(func(*stage, int) {
		for {
			time.Sleep(time.Microsecond)
		}
	}),
	"dies": after(func(*stage, int) {
		fmt.Fprintln(os.Stderr, "one\ntwo\tand\x1b[31m red\nthe last words")
		os.Exit(7)
	}),
	"leaves":  after(func(*stage, int) { os.Exit(0) }),
	"closes":  after(func(*stage, int) { os.Stdout.Close(); time.Sleep(time.Hour) }),
	"babbles": after(func(*stage, int) { fmt.Println("hello, world") }),
	"binary":  after(func(*stage, int) { os.Stdout.Write([]byte("\x00\xff\xfe\x80\x00\n")) }),
	"empty":   after(func(*stage, int) { fmt.Println() }),
	"long": after(func(*stage, int) {
		os.Stdout.WriteString(strings.Repeat("x", 10<<20) + "\n")
		time.Sleep(time.Hour)
	}),
	"floods": after(func(*stage, int) {
		for {
			os.Stdout.WriteString(strings.Repeat("y", 1000))
		}
	}),
	"twice":   after(func(s *stage, n int) { s.drive(n); s.drive(n); s.tick(); time.Sleep(time.Hour) }),
	"unknown": after(func(s *stage, n int) { fmt.Printf(`{"answer": "commands", "to": %d, "comands": []}`+"\n", n) }),
	"double":  after(func(s *stage, n int) { fmt.Printf(`{"answer": "commands", "to": %d} {}`+"\n", n) }),
	"other":   after(func(s *stage, n int) { fmt.Println(`{"answer": "ready"}`) }),
	"forward": after(func(s *stage, n int) {
		s.say(talk.Answer{Answer: "commands", To: n, Commands: []talk.Command{{Do: "drive.forward", With: []any{300}}}})
	}),
	"percent": after(func(s *stage, n int) {
		s.say(talk.Answer{Answer: "commands", To: n, Commands: []talk.Command{{Do: "intake.run", With: []any{100}}}})
	}),
	"again": after(func(s *stage, n int) { // never lets time pass
		for ; ; n = s.tick() {
			s.say(talk.Answer{Answer: "commands", To: n, Again: true})
		}
	}),
	"parent": after(func(s *stage, n int) { // leaves a child behind that heeds nothing
		exec.Command(os.Args[0], "as", "mute", os.Args[3]).Start()
		os.Exit(3)
	}),
	"rehearser": func(*stage) { // is no program: it rehearses with one until it is killed
		words := fmt.Sprintf("%q as crowd %s", os.Args[0], os.Args[3])
		s, err := specOf(words)
		if err != nil {
			panic(err)
		}
		s.Patience = time.Minute
		for {
			rehearsed(s)
		}
	},
	"crowd": func(s *stage) { // has children, and heeds the end of its input no more than they do
		exec.Command(os.Args[0], "as", "mute", os.Args[3]).Start()
		s.ready()
		for range 20 {
			s.drive(s.tick())
		}
		time.Sleep(time.Hour)
	},
}
