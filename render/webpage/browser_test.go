package webpage

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"image"
	"image/png"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"
)

// browser is a headless Chromium that shows one page, spoken to over pipes by its DevTools protocol.
type browser struct {
	t       *testing.T
	to      io.Writer
	from    *bufio.Reader
	session string
	asked   int
}

// phone is the width from which a window is no phone's, pixels.
const phone = 600

// hangs is how long an answer may take, on the slowest machine, before the browser counts as hanging.
const hangs = 2 * time.Minute

// newBrowser starts a browser; without Chromium it skips, which `.ci/run` makes a failure.
func newBrowser(t *testing.T) *browser {
	t.Helper()
	chromium, err := exec.LookPath("chromium")
	if err != nil {
		t.Skip("WINDOW TEST SKIPPED: there is no chromium to show a page in")
	}
	theirs, ours, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	answers, theirAnswers, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(context.Background(), hangs)
	t.Cleanup(cancel)
	cmd := exec.CommandContext(ctx, chromium, "--headless=new", "--no-sandbox", "--disable-gpu", "--hide-scrollbars",
		"--no-first-run", "--disable-dev-shm-usage", "--user-data-dir="+t.TempDir(), "--remote-debugging-pipe")
	cmd.ExtraFiles = []*os.File{theirs, theirAnswers} // its files 3 and 4
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	theirs.Close()
	theirAnswers.Close()
	b := &browser{t: t, to: ours, from: bufio.NewReaderSize(answers, 1<<20)}
	t.Cleanup(func() {
		b.session = ""
		b.ask("Browser.close", nil, nil)
		ours.Close()
		_ = cmd.Wait()
		answers.Close()
	})
	var target struct{ TargetID, SessionID string }
	b.ask("Target.createTarget", map[string]any{"url": "about:blank"}, &target)
	b.ask("Target.attachToTarget", map[string]any{"targetId": target.TargetID, "flatten": true}, &target)
	b.session = target.SessionID
	b.ask("Page.enable", nil, nil)
	return b
}

// open shows a page in a window so many pixels large, to a person who prefers what the pairs say
// ("prefers-reduced-motion", "reduce").
func (b *browser) open(html []byte, width, height int, prefers ...string) {
	b.t.Helper()
	page := filepath.Join(b.t.TempDir(), "page.html")
	if err := os.WriteFile(page, html, 0o644); err != nil {
		b.t.Fatal(err)
	}
	b.ask("Emulation.setDeviceMetricsOverride", map[string]any{"width": width, "height": height, "deviceScaleFactor": 1,
		"mobile": width < phone}, nil)
	var features []any
	for i := 0; i < len(prefers); i += 2 {
		features = append(features, map[string]any{"name": prefers[i], "value": prefers[i+1]})
	}
	b.ask("Emulation.setEmulatedMedia", map[string]any{"features": features}, nil)
	b.ask("Emulation.setTouchEmulationEnabled", map[string]any{"enabled": width < phone}, nil)
	b.ask("Page.navigate", map[string]any{"url": "file://" + page}, nil)
	b.run(`new Promise(done => document.readyState === "complete" ? done() : addEventListener("load", done))`, nil)
}

// ask sends a command and waits for its answer; what else the browser tells is passed over.
func (b *browser) ask(method string, params, into any) {
	b.t.Helper()
	b.asked++
	if params == nil {
		params = map[string]any{}
	}
	message := map[string]any{"id": b.asked, "method": method, "params": params}
	if b.session != "" {
		message["sessionId"] = b.session
	}
	data, err := json.Marshal(message)
	if err != nil {
		b.t.Fatal(err)
	}
	if _, err := b.to.Write(append(data, 0)); err != nil {
		b.t.Fatalf("%s: the browser is gone: %v", method, err)
	}
	for {
		line, err := b.from.ReadBytes(0)
		if err != nil {
			b.t.Fatalf("%s: the browser is gone: %v", method, err)
		}
		var answer struct {
			ID     int
			Result json.RawMessage
			Error  *struct{ Message string }
		}
		if err := json.Unmarshal(line[:len(line)-1], &answer); err != nil {
			b.t.Fatal(err)
		}
		switch {
		case answer.ID != b.asked:
			continue
		case answer.Error != nil:
			b.t.Fatalf("%s: %s", method, answer.Error.Message)
		case into != nil:
			if err := json.Unmarshal(answer.Result, into); err != nil {
				b.t.Fatal(err)
			}
		}
		return
	}
}

// run evaluates an expression on the page; a promise is waited for.
func (b *browser) run(expression string, into any) {
	b.t.Helper()
	var out struct {
		Result           struct{ Value json.RawMessage }
		ExceptionDetails *struct {
			Exception struct{ Description string }
		}
	}
	b.ask("Runtime.evaluate", map[string]any{"expression": expression, "returnByValue": true, "awaitPromise": true}, &out)
	if out.ExceptionDetails != nil {
		b.t.Fatalf("%s: %s", expression, out.ExceptionDetails.Exception.Description)
	}
	if into != nil && out.Result.Value != nil {
		if err := json.Unmarshal(out.Result.Value, into); err != nil {
			b.t.Fatalf("%s: %v", expression, err)
		}
	}
}

// text is what an expression gives, as text.
func (b *browser) text(expression string) string {
	b.t.Helper()
	var out string
	b.run("String("+expression+")", &out)
	return out
}

// field is a picture of the field on the page.
func (b *browser) field() image.Image {
	b.t.Helper()
	var clip struct{ X, Y, Width, Height, Scale float64 }
	b.run(`(() => { const r = $("field").getBoundingClientRect();
		return {X: r.left, Y: r.top, Width: r.width, Height: r.height, Scale: 1}; })()`, &clip)
	var shot struct{ Data []byte }
	b.ask("Page.captureScreenshot", map[string]any{"format": "png", "clip": map[string]any{"x": clip.X, "y": clip.Y,
		"width": clip.Width, "height": clip.Height, "scale": clip.Scale}}, &shot)
	img, err := png.Decode(bytes.NewReader(shot.Data))
	if err != nil {
		b.t.Fatal(err)
	}
	return img
}

// press presses and lets go a key; code is its Windows virtual key code.
func (b *browser) press(key string, code, modifiers int) {
	b.t.Helper()
	for _, kind := range []string{"keyDown", "keyUp"} {
		params := map[string]any{"type": kind, "key": key, "windowsVirtualKeyCode": code, "modifiers": modifiers}
		if kind == "keyDown" && len(key) == 1 {
			params["text"] = key
		}
		b.ask("Input.dispatchKeyEvent", params, nil)
	}
}

// tap touches the middle of what a selector finds, or a share of its width from its left.
func (b *browser) tap(selector string, share float64) {
	b.t.Helper()
	var at struct {
		X float64 `json:"x"`
		Y float64 `json:"y"`
	}
	b.run(fmt.Sprintf(`(() => { const r = document.querySelector(%q).getBoundingClientRect();
		return {X: r.left + r.width * %g, Y: r.top + r.height / 2}; })()`, selector, share), &at)
	b.ask("Input.dispatchTouchEvent", map[string]any{"type": "touchStart", "touchPoints": []any{at}}, nil)
	b.ask("Input.dispatchTouchEvent", map[string]any{"type": "touchEnd", "touchPoints": []any{}}, nil)
}
