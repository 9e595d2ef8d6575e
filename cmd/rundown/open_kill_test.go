package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"io"
	"math/rand/v2"
	"net/http"
	"os"
	"os/exec"
	"runtime"
	"strings"
	"testing"
	"time"

	"rundown/sim/simtest"
)

// Killed at a random moment while it saves, rundown open leaves the plan as it was or as it
// should be, whole. The moments are of a fixed seed, the machine's timing is not.
func TestKillWhileSaving(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("a process cannot be killed as here")
	}
	simtest.Stage(t, "kill")
	binary := buildProgram(t)
	long := strings.Repeat("# a comment that makes the file long enough to be killed in\n", 9000)
	texts := []string{smallPlan + long, strings.Replace(smallPlan, "heads_per_m2: 30", "heads_per_m2: 31", 1) + long}
	inFolder(t, map[string]string{"plan.yaml": texts[0]})
	rng := rand.New(rand.NewPCG(22, 1))
	saves := 0
	for range *kills {
		saves += killSaving(t, binary, texts, time.Duration(rng.IntN(200))*time.Millisecond)
		data, err := os.ReadFile("plan.yaml")
		if err != nil || string(data) != texts[0] && string(data) != texts[1] {
			t.Fatalf("after a kill the plan has %d bytes, %v", len(data), err)
		}
	}
	t.Logf("%d kills, %d saves that were answered", *kills, saves)
}

// killSaving saves by turns until the program is killed, and tells how often that was answered.
func killSaving(t *testing.T, binary string, texts []string, after time.Duration) (saves int) {
	t.Helper()
	c := exec.Command(binary, "open", "plan.yaml", "--no-browser")
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	defer func() { _ = c.Wait() }() // it was killed
	link, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		t.Fatal(err)
	}
	r, err := http.Get(strings.TrimSpace(link))
	if err != nil {
		t.Fatal(err)
	}
	body, _ := io.ReadAll(r.Body)
	_ = r.Body.Close()
	host := strings.TrimPrefix(link[:strings.Index(link, "/?")], "http://")
	page := &opened{host: host, key: string(keyInPage.FindSubmatch(body)[1]), cookie: r.Cookies()[0]}
	time.AfterFunc(after, func() { _ = c.Process.Kill() })
	for k := 0; ; k++ {
		data, _ := json.Marshal(map[string]any{"Name": "plan.yaml", "Text": texts[k%2], "Hash": "", "Replace": true})
		q, _ := http.NewRequest(http.MethodPost, "http://"+page.host+"/api/save", bytes.NewReader(data))
		q.AddCookie(page.cookie)
		q.Header.Set("Rundown-Key", page.key)
		q.Header.Set("Origin", "http://"+page.host)
		q.Header.Set("Content-Type", "application/json")
		a, err := http.DefaultClient.Do(q)
		if err != nil {
			return saves
		}
		_ = a.Body.Close()
		saves++
	}
}
