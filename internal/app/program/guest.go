package program

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"regexp"
	"unicode/utf8"

	"chalkfield/scripting/talk"
)

// guest is a process for the length of one rehearsal.
type guest struct {
	process *process
	lost    bool
	begin   []byte // its first line
}

// Begin tells that a rehearsal begins.
func (g *guest) Begin(b talk.Begin) (err error) {
	g.begin, err = g.tell(b)
	return err
}

// Ask tells what is seen now and returns what the program wants done.
func (g *guest) Ask(t talk.Tick) (answer talk.Answer, err error) {
	line, err := json.Marshal(t)
	if err != nil {
		return answer, err
	}
	line, err = g.exchange(append(line, '\n'))
	if err == nil {
		err = decode(line, &answer)
	}
	if err == nil && answer.Answer != "commands" {
		err = notThis(line, "commands")
	}
	if err != nil {
		g.lost = true
		return answer, g.process.trouble(err)
	}
	return answer, nil
}

// exchange gives the program a line and waits for its answer. One that served a rehearsal and then ended has its place
// taken by another.
func (g *guest) exchange(line []byte) ([]byte, error) {
	answer, err := g.process.exchange(line, g.process.kind.patience)
	if g.begin == nil || !g.process.served || !errors.Is(err, errEnded) {
		g.begin = nil
		return answer, err
	}
	g.process.kind.owner.drop(g.process)
	another, err := g.process.kind.start()
	if err != nil {
		return nil, err
	}
	g.process = another
	another.write(g.begin)
	return another.exchange(line, another.kind.patience)
}

// End tells that the rehearsal is over. The process waits for the next one.
func (g *guest) End(e talk.End) {
	owner := g.process.kind.owner
	if _, err := g.tell(e); g.lost || err != nil {
		owner.drop(g.process)
		return
	}
	g.process.served = true
	owner.keep(g.process)
}

// tell gives the program a message that it does not answer.
func (g *guest) tell(message any) (line []byte, err error) {
	if line, err = json.Marshal(message); err == nil {
		line = append(line, '\n')
		g.process.write(line)
	}
	return line, err
}

// decode reads one JSON object, and nothing else, of known members.
func decode(line []byte, into any) error {
	decoder := json.NewDecoder(bytes.NewReader(line))
	decoder.DisallowUnknownFields()
	err := decoder.Decode(into)
	if err == nil {
		if _, rest := decoder.Token(); !errors.Is(rest, io.EOF) {
			err = errors.New("more than one thing in a line")
		}
	}
	var syntax *json.SyntaxError
	switch {
	case err == nil:
		return nil
	case errors.As(err, &syntax) && noNumber.Match(line):
		return fmt.Errorf("the program wrote %s, which is no number: is one divided by 0, or the root of less than 0 "+
			"taken? Look at it before you command it", noNumber.FindSubmatch(line)[1])
	case errors.As(err, &syntax) || errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF):
		return fmt.Errorf("the program wrote a line that is no JSON: %s: standard output is for answers alone, print what "+
			"else there is to standard error", begun(line))
	}
	return fmt.Errorf("the program wrote an answer that cannot be read: %v: %s: `chalkfield show program` has what may "+
		"stand in it", err, begun(line))
}

// noNumber is what languages write for a number that is none, in a line that is JSON but for it.
var noNumber = regexp.MustCompile(`^\{.*[:,\[ ]-?(?i:(nan|inf|infinity))\s*[,}\]]`)

func notThis(line []byte, want string) error {
	return fmt.Errorf(`it wrote another answer than is due: %s: this one begins {"answer": %q`, begun(line), want)
}

// begun is how a line begins, for a message.
func begun(line []byte) string {
	const most = 60
	if len(line) <= most {
		return fmt.Sprintf("%q", line)
	}
	line = line[:most]
	for len(line) > 0 && !utf8.Valid(line) && len(line) > most-utf8.UTFMax {
		line = line[:len(line)-1]
	}
	return fmt.Sprintf("%q...", line)
}
