package scripting

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"chalkfield/internal/base/geom"
	"chalkfield/scripting/sandbox"
	"chalkfield/scripting/talk"
)

// Program is a compiled routine file with the modules it requires. It is read only: many rehearsals may run it at once.
type Program struct {
	Name, SHA256 string            // file name and hash over all its files, for records
	Texts        map[string]string // its files by path from its folder, for records

	Title     string
	Side      string     // the side whose coordinates it uses; "" if it does not say
	Start     *geom.Pose // m and rad in that side's coordinates, for a tile of DefaultTile; nil if it does not say
	HasAuto   bool
	HasDriver bool
	Params    []Param // what the text leaves open in plain words, in its order, and those made while it was read

	main    *sandbox.Source
	meet    func() (Guest, error)      // nil: the routine is Lua, else nothing of Lua is here
	lost    bool                       // a program that did not begin
	heard   []talk.Part                // what a program can tell the robot: see Hears
	hand    *sandbox.Source            // a routine file that lends its driver function; nil: none
	modules map[string]*sandbox.Source // by the name that require takes
}

const (
	// DefaultTile is what `tile` means while a file is read without a field, in metres.
	DefaultTile = 0.6

	maxModules = 64
	maxText    = 512 << 10 // bytes of all files together
)

// Load reads a routine file. Its folder is all that require can see; a link that leads out of it is an error.
func Load(file string) (*Program, error) {
	root, err := os.OpenRoot(filepath.Dir(file))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	defer root.Close()
	program, err := LoadFS(root.FS(), filepath.Base(file))
	if target, to := leads(file); err != nil && to {
		return nil, fmt.Errorf("%s: is a link out of its folder, and a routine sees nothing outside: copy the file there, "+
			"or name the one that it leads to, %s", file, target)
	}
	return program, err
}

// leads reports whether a file is a link to another folder, and where to.
func leads(file string) (target string, out bool) {
	target, err := filepath.EvalSymlinks(file)
	if err != nil {
		return "", false
	}
	folder, err := filepath.EvalSymlinks(filepath.Dir(file))
	return target, err == nil && filepath.Dir(target) != filepath.Clean(folder)
}

// LoadFS reads a routine file of a file system; its folder there is all that require can see.
func LoadFS(fsys fs.FS, file string) (*Program, error) {
	folder, err := fs.Sub(fsys, path.Dir(file))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	if path.Ext(file) != ".lua" {
		return nil, fmt.Errorf("%s: a routine file's name must end in .lua", file)
	}
	return compile(path.Base(file), func(file string) (string, error) { return readSource(folder, file) })
}

// LoadTexts compiles a routine whose files' texts are given, as Program.Texts has them.
func LoadTexts(name string, texts map[string]string) (*Program, error) {
	return compile(name, func(file string) (string, error) {
		text, there := texts[file]
		if !there {
			return "", fmt.Errorf("%s: %w", file, fs.ErrNotExist)
		}
		return text, textOnly(file, text)
	})
}

// WithText is the program with another text of one of its files: of Modules, or "" for its main one.
func (p *Program) WithText(file, text string) (*Program, error) {
	texts := maps.Clone(p.Texts)
	texts[cmp.Or(file, p.Name)] = strings.TrimPrefix(text, byteOrderMark)
	with, err := LoadTexts(p.Name, texts)
	if err == nil && p.hand != nil {
		with.hand, with.Title, with.HasDriver = p.hand, p.Title, p.HasDriver
	}
	return with, err
}

func compile(name string, read func(file string) (string, error)) (*Program, error) {
	p := &Program{Name: name, Texts: map[string]string{}, modules: map[string]*sandbox.Source{}}
	reader := reader{read: read, program: p}
	var err error
	if p.main, err = reader.source(p.Name); err != nil {
		return nil, err
	}
	p.SHA256 = reader.hash()
	if p.Params, err = literalParams(p); err != nil {
		return nil, err
	}
	if err := p.dryRun(); err != nil {
		return nil, err
	}
	return p, nil
}

// reader reads and compiles a file and all that it requires. What is wrong with a module is wrapped as text only: a
// missing module must not look like a missing routine file to errors.Is.
type reader struct {
	read    func(file string) (string, error)
	program *Program
	size    int // bytes so far
}

func (r *reader) source(file string) (*sandbox.Source, error) {
	text, err := r.read(file)
	if err != nil {
		return nil, err
	}
	r.program.Texts[file] = text
	if r.size += len(text); r.size > maxText {
		return nil, fmt.Errorf("%s: the routine and its modules are longer than %d bytes together", file, maxText)
	}
	source, err := sandbox.Compile(file, text)
	if err != nil {
		return nil, err
	}
	for _, call := range source.Calls {
		name, plain := call.Text(0)
		if call.Name != "require" || !plain {
			continue
		}
		if err := r.module(name); err != nil {
			return nil, fmt.Errorf("%s:%d: require %q: %v", file, call.Line, name, err)
		}
	}
	return source, nil
}

var moduleName = regexp.MustCompile(`^[A-Za-z0-9_][A-Za-z0-9_-]*([./][A-Za-z0-9_][A-Za-z0-9_-]*)*$`)

// module reads a required file once. Its place in the map is taken before its own requires are followed: files may
// require each other.
func (r *reader) module(name string) error {
	if _, known := r.program.modules[name]; known {
		return nil
	}
	if !moduleName.MatchString(name) {
		return fmt.Errorf(`write the path of a .lua file in the routine's own folder, such as require "arm" or require ` +
			`"lib/arm"`)
	}
	if len(r.program.modules) >= maxModules {
		return fmt.Errorf("more than %d modules", maxModules)
	}
	r.program.modules[name] = nil
	file := strings.ReplaceAll(name, ".", "/") + ".lua"
	source, err := r.source(file)
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("no file %s in the routine's folder", file)
	}
	r.program.modules[name] = source
	return err
}

// byteOrderMark is what some editors put before a text in UTF-8.
const byteOrderMark = "\ufeff"

// readSource reads a regular text file of at most MaxSource bytes, without the byte order mark if it has one.
func readSource(folder fs.FS, file string) (string, error) {
	info, err := fs.Stat(folder, file)
	if err != nil {
		return "", fmt.Errorf("%s: %w", file, reason(err))
	}
	if !info.Mode().IsRegular() {
		return "", fmt.Errorf("%s: not a file", file)
	}
	if info.Size() > sandbox.MaxSource+int64(len(byteOrderMark)) {
		return "", fmt.Errorf("%s: %d bytes are too many for a routine file: the limit is %d", file, info.Size(),
			sandbox.MaxSource)
	}
	f, err := folder.Open(file)
	if err != nil {
		return "", fmt.Errorf("%s: %w", file, reason(err))
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, sandbox.MaxSource+int64(len(byteOrderMark))+1))
	if err != nil {
		return "", fmt.Errorf("%s: %w", file, reason(err))
	}
	text := strings.TrimPrefix(string(data), byteOrderMark)
	return text, textOnly(file, text)
}

// textOnly is an error for what is not a text: a picture under a wrong name, compiled Lua, another encoding.
func textOnly(file, text string) error {
	if strings.ContainsRune(text, 0) {
		return fmt.Errorf("%s: this is not a text file: a routine is Lua text, saved as UTF-8", file)
	}
	if !utf8.ValidString(text) {
		good := 0
		for line := range strings.SplitSeq(text, "\n") {
			if !utf8.ValidString(line) {
				break
			}
			good++
		}
		return fmt.Errorf("%s:%d: this is not a text file in UTF-8: save it as UTF-8 in your editor", file, good+1)
	}
	return nil
}

// reason is a file error without the operation and the path, which the message has already.
func reason(err error) error {
	if e, is := err.(*fs.PathError); is {
		return e.Err
	}
	return err
}

// hash is over names, lengths and contents of all files, in order of name.
func (r *reader) hash() string {
	sum := sha256.New()
	for _, file := range slices.Sorted(maps.Keys(r.program.Texts)) {
		text := r.program.Texts[file]
		fmt.Fprintf(sum, "%s %d\n%s", file, len(text), text)
	}
	return hex.EncodeToString(sum.Sum(nil))
}

// Place is where the file gives the routine a member: "routine.lua:4"; the file alone where its text does not show it.
func (p *Program) Place(member string) string {
	if p.Foreign() {
		return p.Name
	}
	for _, call := range p.main.Calls {
		if line := call.Member(0, member); call.Name == "routine" && line > 0 {
			return fmt.Sprintf("%s:%d", p.Name, line)
		}
	}
	return p.Name
}

// literalParams lists the calls that leave something open and whose arguments are plain, main file first, then modules
// by name.
func literalParams(p *Program) ([]Param, error) {
	sources := []*sandbox.Source{p.main}
	for _, name := range slices.Sorted(maps.Keys(p.modules)) {
		sources = append(sources, p.modules[name])
	}
	var list []Param
	for _, source := range sources {
		for _, call := range source.Calls {
			param, is := literalFreedom(call)
			if !is {
				continue
			}
			if wrong := param.wrong(); wrong != "" {
				return nil, fmt.Errorf("%s:%d: param: %s", source.Name, call.Line, wrong)
			}
			list = withParam(list, param)
		}
	}
	return list, nil
}

// wrong is what is wrong with a parameter's numbers, "" if nothing is.
func (p Param) wrong() string {
	switch {
	case p.Min > p.Max:
		return fmt.Sprintf("%q: the least value %.6g is above the greatest %.6g: the order is param(name, default, least, "+
			"greatest), so write param(%q, %.6g, %.6g, %.6g)",
			p.Name, p.Min, p.Max, p.Name, min(max(p.Default, p.Max), p.Min), p.Max, p.Min)
	case p.Default < p.Min || p.Default > p.Max:
		return fmt.Sprintf("%q: the default %.6g must lie between %.6g and %.6g", p.Name, p.Default, p.Min, p.Max)
	}
	return ""
}

// withParam adds a parameter unless one of its name is there.
func withParam(list []Param, p Param) []Param {
	if slices.ContainsFunc(list, func(q Param) bool { return q.Name == p.Name }) {
		return list
	}
	return append(list, p)
}

func literalParam(call sandbox.Called) (Param, bool) {
	name, is := call.Text(0)
	if call.Name != "param" || !is {
		return Param{}, false
	}
	var numbers [3]float64
	for i := range numbers {
		if numbers[i], is = call.Number(i + 1); !is {
			return Param{}, false
		}
	}
	return Param{Name: name, Default: numbers[0], Min: numbers[1], Max: numbers[2], Used: numbers[0]}, true
}

// dryRun runs the file without a robot, to see what it returns.
func (p *Program) dryRun() error {
	h, err := newHost(p, nil, Env{Tile: DefaultTile})
	if err != nil {
		return err
	}
	defer h.Close()
	r := h.routine
	p.Title, p.Side, p.Start, p.HasAuto, p.HasDriver = r.title, r.side, r.start, r.auto != nil, r.driver != nil
	for _, param := range h.params { // asked for while the file was read
		p.Params = withParam(p.Params, param)
	}
	return nil
}

// DrivenBy is the program with another's driver function. Its name, texts and hash stay its own, its title says it.
func (p *Program) DrivenBy(hand *Program) *Program {
	both := *p
	both.Title, both.HasDriver, both.hand = cmp.Or(p.Title, p.Name)+", "+hand.Title, true, hand.main
	return &both
}

// Modules are the files that it requires, as paths from its own folder with slashes, in order of name.
func (p *Program) Modules() []string {
	var files []string
	for _, m := range p.modules {
		files = append(files, m.Name)
	}
	slices.Sort(files)
	return slices.Compact(files)
}

// StartOn is the start pose on a field with another tile, in metres and radians; nil if the routine does not say.
func (p *Program) StartOn(tile float64) (*geom.Pose, error) {
	if tile == DefaultTile || p.Foreign() {
		return p.Start, nil
	}
	h, err := newHost(p, nil, Env{Tile: tile})
	if err != nil {
		return nil, err
	}
	defer h.Close()
	return h.routine.start, nil
}
