package page_test

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/websocket"
)

// browser is one tab of a headless Chromium, steered by the DevTools protocol.
type browser struct {
	t      testing.TB
	ws     *websocket.Conn
	next   int
	errors []string // of the console, and exceptions
	loaded bool
}

// required is the variable of the environment under which a missing browser fails
// the test: .ci/run sets it.
const required = "REQUIRE_CHROMIUM"

// chromium opens a tab; it skips the test where no Chromium is installed.
func chromium(t testing.TB) *browser {
	t.Helper()
	var path string
	for _, name := range []string{"chromium", "chromium-browser"} {
		if p, err := exec.LookPath(name); err == nil {
			path = p
			break
		}
	}
	if path == "" {
		if os.Getenv(required) != "" {
			t.Fatal("no Chromium is installed, and " + required + " asks for one")
		}
		t.Skip("no Chromium is installed")
	}
	profile := t.TempDir()
	cmd := exec.Command(path, "--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--no-first-run",
		"--disable-background-networking", "--disable-extensions", "--remote-debugging-port=0", "--remote-allow-origins=http://127.0.0.1", "--user-data-dir="+profile, "about:blank")
	cmd.Dir = profile
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { cmd.Process.Kill(); cmd.Wait(); time.Sleep(200 * time.Millisecond) })
	var port, endpoint string
	for range 300 {
		if b, err := os.ReadFile(filepath.Join(profile, "DevToolsActivePort")); err == nil {
			if lines := strings.Split(strings.TrimSpace(string(b)), "\n"); len(lines) == 2 {
				port, endpoint = lines[0], lines[1]
				break
			}
		}
		time.Sleep(100 * time.Millisecond)
	}
	if port == "" {
		t.Fatal("Chromium did not open its DevTools port within 30 s")
	}
	ws, err := websocket.Dial("ws://127.0.0.1:"+port+endpoint, "", "http://127.0.0.1")
	if err != nil {
		t.Fatal(err)
	}
	ws.MaxPayloadBytes = 256 << 20
	b := &browser{t: t, ws: ws}
	var target struct{ TargetID string }
	b.call("", "Target.createTarget", map[string]any{"url": "about:blank"}, &target)
	var s struct{ SessionID string }
	b.call("", "Target.attachToTarget", map[string]any{"targetId": target.TargetID, "flatten": true}, &s)
	session = s.SessionID
	b.do("Page.enable", nil, nil)
	b.do("Runtime.enable", nil, nil)
	b.do("Log.enable", nil, nil)
	return b
}

var session string // tests of this package that use a browser do not run side by side

func (b *browser) do(method string, params map[string]any, result any) {
	b.t.Helper()
	b.call(session, method, params, result)
}

type message struct {
	ID     int
	Method string
	Params json.RawMessage
	Result json.RawMessage
	Error  json.RawMessage
}

func (b *browser) receive() message {
	b.t.Helper()
	b.ws.SetReadDeadline(time.Now().Add(60 * time.Second))
	var raw []byte
	if err := websocket.Message.Receive(b.ws, &raw); err != nil {
		b.t.Fatal(err)
	}
	var m message
	if err := json.Unmarshal(raw, &m); err != nil {
		b.t.Fatal(err)
	}
	switch m.Method {
	case "Runtime.exceptionThrown", "Log.entryAdded":
		b.errors = append(b.errors, string(m.Params))
	case "Runtime.consoleAPICalled":
		if strings.Contains(string(m.Params), `"type":"error"`) {
			b.errors = append(b.errors, string(m.Params))
		}
	case "Page.loadEventFired":
		b.loaded = true
	}
	return m
}

func (b *browser) call(session, method string, params map[string]any, result any) {
	b.t.Helper()
	b.next++
	m := map[string]any{"id": b.next, "method": method}
	if params != nil {
		m["params"] = params
	}
	if session != "" {
		m["sessionId"] = session
	}
	if err := websocket.JSON.Send(b.ws, m); err != nil {
		b.t.Fatal(err)
	}
	for {
		got := b.receive()
		if got.ID != b.next {
			continue
		}
		if got.Error != nil {
			b.t.Fatalf("%s: %s", method, got.Error)
		}
		if result != nil {
			if err := json.Unmarshal(got.Result, result); err != nil {
				b.t.Fatal(err)
			}
		}
		return
	}
}

// open loads a file in a window of the given width, px, with or without script.
func (b *browser) open(path string, width int, script bool) {
	b.t.Helper()
	abs, err := filepath.Abs(path)
	if err != nil {
		b.t.Fatal(err)
	}
	b.do("Emulation.setDeviceMetricsOverride", map[string]any{"width": width, "height": 900, "deviceScaleFactor": 1, "mobile": false}, nil)
	b.do("Emulation.setScriptExecutionDisabled", map[string]any{"value": !script}, nil)
	b.loaded = false
	b.do("Page.navigate", map[string]any{"url": "file://" + abs}, nil)
	for !b.loaded {
		b.receive()
	}
}

// eval runs an expression and returns its value.
func (b *browser) eval(js string) any {
	b.t.Helper()
	var r struct {
		Result           struct{ Value any }
		ExceptionDetails json.RawMessage
	}
	b.do("Runtime.evaluate", map[string]any{"expression": js, "returnByValue": true, "awaitPromise": true}, &r)
	if r.ExceptionDetails != nil {
		b.t.Fatalf("%s: %s", js, r.ExceptionDetails)
	}
	return r.Result.Value
}

// key presses one key.
func (b *browser) key(key string, code int) {
	b.t.Helper()
	text := ""
	if key == "Enter" {
		text = "\r"
	}
	for _, kind := range []string{"keyDown", "keyUp"} {
		b.do("Input.dispatchKeyEvent", map[string]any{"type": kind, "key": key, "code": key, "windowsVirtualKeyCode": code, "text": text}, nil)
	}
}

// same compares what an expression gives with a value.
func (b *browser) same(js string, want any) {
	b.t.Helper()
	if got := b.eval(js); fmt.Sprint(got) != fmt.Sprint(want) {
		b.t.Errorf("%s gives %v, want %v", js, got, want)
	}
}
