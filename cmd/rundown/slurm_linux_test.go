package main

import (
	"bytes"
	"crypto/rand"
	"fmt"
	"maps"
	"net"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"rundown/sim/simtest"
)

// slurm is a cluster of one node, all of which stands in a folder of its own.
type slurm struct {
	t       *testing.T
	dir     string
	daemons []*exec.Cmd
	said    []*bytes.Buffer
	ended   []chan error
}

// slurmPatience is how long a state is waited for.
const slurmPatience = 120 * time.Second

const slurmConf = `ClusterName=tried
SlurmctldHost=%[1]s(127.0.0.1)
AuthType=auth/munge
AuthInfo=socket=%[2]s/munge/socket
CryptoType=crypto/munge
SlurmUser=root
SlurmdUser=root
SlurmctldPort=%[3]d
SlurmdPort=%[4]d
StateSaveLocation=%[2]s/state
SlurmdSpoolDir=%[2]s/spool
SlurmctldPidFile=%[2]s/slurmctld.pid
SlurmdPidFile=%[2]s/slurmd.pid
SlurmctldLogFile=%[2]s/slurmctld.log
SlurmdLogFile=%[2]s/slurmd.log
ProctrackType=proctrack/linuxproc
TaskPlugin=task/none
SelectType=select/cons_tres
SelectTypeParameters=CR_Core
JobCompType=jobcomp/none
AccountingStorageType=accounting_storage/none
JobAcctGatherType=jobacct_gather/none
MpiDefault=none
ReturnToService=2
SlurmdParameters=config_overrides
SchedulerParameters=sched_interval=1
NodeName=one NodeHostname=%[1]s NodeAddr=127.0.0.1 CPUs=2 RealMemory=4000 State=UNKNOWN
PartitionName=all Nodes=one Default=YES MaxTime=INFINITE State=UP
`

// startSlurm starts munged, slurmctld and slurmd as children of the test, and waits until
// the node is idle. They are ended by their process, whatever happens.
func startSlurm(t *testing.T) *slurm {
	t.Helper()
	for _, tool := range []string{"munged", "slurmctld", "slurmd", "sbatch", "scontrol"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Skipf("Slurm is not here: %v", err)
		}
	}
	if os.Geteuid() != 0 {
		t.Skip("slurmd runs jobs as other users, and so is started by root alone")
	}
	dir, err := os.MkdirTemp("", "rundown-slurm-")
	if err != nil {
		t.Fatal(err)
	}
	s := &slurm{t: t, dir: dir}
	t.Cleanup(s.end)
	host, err := os.Hostname()
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"", "munge", "state", "spool"} {
		s.must(os.MkdirAll(filepath.Join(dir, name), 0o755))
		s.must(os.Chmod(filepath.Join(dir, name), 0o755))
	}
	host, _, _ = strings.Cut(host, ".")
	s.must(os.WriteFile(s.conf(), fmt.Appendf(nil, slurmConf, host, dir, freePort(t), freePort(t)), 0o644))
	t.Setenv("SLURM_CONF", s.conf())
	s.startMunge()
	s.start(nil, "slurmctld", "-D", "-f", s.conf())
	s.start(nil, "slurmd", "-D", "-f", s.conf(), "-N", "one")
	s.wait("the node to be idle", func() bool { return strings.Contains(s.maybe("sinfo", "-h", "-o", "%T"), "idle") })
	return s
}

func (s *slurm) conf() string { return filepath.Join(s.dir, "slurm.conf") }

func (s *slurm) must(err error) {
	s.t.Helper()
	if err != nil {
		s.t.Fatal(err)
	}
}

func freePort(t *testing.T) int {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	return l.Addr().(*net.TCPAddr).Port
}

// startMunge starts munged as its own user, with a key of this run.
func (s *slurm) startMunge() {
	s.t.Helper()
	who, err := user.Lookup("munge")
	s.must(err)
	uid, err := strconv.Atoi(who.Uid)
	s.must(err)
	gid, err := strconv.Atoi(who.Gid)
	s.must(err)
	at := func(name string) string { return filepath.Join(s.dir, "munge", name) }
	key := make([]byte, 1024)
	_, err = rand.Read(key)
	s.must(err)
	s.must(os.WriteFile(at("key"), key, 0o400))
	for _, name := range []string{"", "key"} {
		s.must(os.Chown(at(name), uid, gid))
	}
	s.start(&syscall.Credential{Uid: uint32(uid), Gid: uint32(gid)}, "munged", "-F", "--socket="+at("socket"), "--key-file="+at("key"),
		"--log-file="+at("log"), "--pid-file="+at("pid"), "--seed-file="+at("seed"))
	s.wait("munged to listen", func() bool { _, err := os.Stat(at("socket")); return err == nil })
}

// start starts a daemon in the foreground.
func (s *slurm) start(as *syscall.Credential, name string, args ...string) {
	s.t.Helper()
	path, err := exec.LookPath(name)
	s.must(err)
	c, said, ended := exec.Command(path, args...), &bytes.Buffer{}, make(chan error, 1)
	c.Dir, c.Stdout, c.Stderr = s.dir, said, said
	c.SysProcAttr = &syscall.SysProcAttr{Credential: as}
	s.must(c.Start())
	go func() { ended <- c.Wait() }()
	s.daemons, s.said, s.ended = append(s.daemons, c), append(s.said, said), append(s.ended, ended)
}

// end ends the daemons, last first, and fails when anything of them is left.
func (s *slurm) end() {
	for i := len(s.daemons) - 1; i >= 0; i-- {
		_ = s.daemons[i].Process.Signal(syscall.SIGTERM) // it may have ended by itself
		select {
		case <-s.ended[i]:
		case <-time.After(20 * time.Second):
			_ = s.daemons[i].Process.Kill()
			<-s.ended[i]
		}
		if s.t.Failed() {
			s.t.Logf("%s said: %s", s.daemons[i].Path, s.said[i])
		}
	}
	var left []int
	for end := time.Now().Add(20 * time.Second); time.Now().Before(end); time.Sleep(100 * time.Millisecond) {
		if left = s.processes(""); len(left) == 0 {
			break
		}
	}
	for _, pid := range left {
		b, _ := os.ReadFile(fmt.Sprintf("/proc/%d/cmdline", pid))
		s.t.Errorf("process %d is left: %q", pid, b)
		_ = syscall.Kill(pid, syscall.SIGKILL)
	}
	if s.t.Failed() {
		for _, name := range []string{"slurmctld.log", "slurmd.log", "munge/log"} {
			b, _ := os.ReadFile(filepath.Join(s.dir, name))
			s.t.Logf("%s:\n%s", name, b[max(0, len(b)-3000):])
		}
	}
	_ = os.RemoveAll(s.dir)
}

// processes are those of this cluster, known by its folder in their command or
// environment, whose command holds a text.
func (s *slurm) processes(holding string) []int {
	names, _ := filepath.Glob("/proc/[0-9]*")
	var out []int
	for _, p := range names {
		pid, _ := strconv.Atoi(filepath.Base(p))
		command, _ := os.ReadFile(p + "/cmdline") // empty of one that has gone
		set, _ := os.ReadFile(p + "/environ")
		mine := bytes.Contains(command, []byte(s.dir)) || bytes.Contains(set, []byte("SLURM_CONF="+s.conf()))
		text := strings.ReplaceAll(string(command), "\x00", " ")
		if pid != os.Getpid() && len(command) > 0 && mine && strings.Contains(text, holding) {
			out = append(out, pid)
		}
	}
	return out
}

// wait waits for a state.
func (s *slurm) wait(what string, there func() bool) {
	s.t.Helper()
	for end := time.Now().Add(slurmPatience); !there(); time.Sleep(5 * time.Millisecond) {
		if time.Now().After(end) {
			s.t.Fatalf("waited %v for %s", slurmPatience, what)
		}
		for i, c := range s.ended {
			select {
			case err := <-c:
				c <- err
				s.t.Fatalf("%s ended: %v\n%s", s.daemons[i].Path, err, s.said[i])
			default:
			}
		}
	}
}

// maybe is what a command says, empty where it fails.
func (s *slurm) maybe(args ...string) string {
	out, err := exec.Command(args[0], args[1:]...).Output()
	if err != nil {
		return ""
	}
	return strings.TrimSpace(string(out))
}

// call is what a command says.
func (s *slurm) call(args ...string) string {
	s.t.Helper()
	out, err := exec.Command(args[0], args[1:]...).CombinedOutput()
	if err != nil {
		s.t.Fatalf("%v: %v\n%s", args, err, out)
	}
	return strings.TrimSpace(string(out))
}

var jobState = regexp.MustCompile(`JobState=([A-Z_]+)`)

// state is that of a job or of a task of an array.
func (s *slurm) state(job string) string {
	if m := jobState.FindStringSubmatch(s.maybe("scontrol", "show", "job", job, "-o")); m != nil {
		return m[1]
	}
	return ""
}

func (s *slurm) waitFor(job string, states ...string) string {
	s.t.Helper()
	var is string
	s.wait(fmt.Sprintf("job %s to be %v", job, states), func() bool {
		is = s.state(job)
		return slices.Contains(states, is)
	})
	return is
}

var stagedPart = regexp.MustCompile(`part-([0-9]+)-of-16\.rundown$`)

// killOne waits until a part is being written, and kills the process that writes it.
func (s *slurm) killOne(not map[string]bool) string {
	s.t.Helper()
	hit := ""
	s.wait("a part that is being written", func() bool {
		names, _ := filepath.Glob("parts/.*.part/part-*-of-16.rundown")
		for _, name := range names {
			k := stagedPart.FindStringSubmatch(name)[1]
			pids := s.processes("--part " + k + "/16 ")
			if not[k] || len(pids) != 1 {
				continue
			}
			if err := syscall.Kill(pids[0], syscall.SIGKILL); err == nil {
				hit = k
				return true
			}
		}
		return false
	})
	return hit
}

const slurmLine = "farm fields.csv plan.yaml --replicates 4000"

func sixteenFields() string {
	table := "name,area_ha,heads_per_m2\n"
	for i := range 16 {
		table += fmt.Sprintf("Piece %02d,%d,%d\n", i+1, 3+i, 2+5*i)
	}
	return table
}

// Sixteen parts as an array of Slurm, of which two are killed while they write: their
// tasks fail, the join that depends on the array names both parts and writes nothing, and
// once the two are requeued it gives the bytes of one machine.
func TestSlurm(t *testing.T) {
	simtest.Stage(t, "slurm")
	binary, part, joining := buildProgram(t), clusterFile(t, "part.sh"), clusterFile(t, "join.sh")
	inFolder(t, map[string]string{"plan.yaml": smallPlan, "fields.csv": sixteenFields()})
	t.Setenv("PATH", filepath.Dir(binary)+string(os.PathListSeparator)+os.Getenv("PATH"))
	s := startSlurm(t)
	s.must(os.Mkdir("parts", 0o755))
	task := func(array, k string) string { return array + "_" + k }
	submit := append([]string{"sbatch", "--parsable", "--array=1-16", "--cpus-per-task=1", "--mem-per-cpu=100M", "--chdir=.", part}, strings.Fields(slurmLine)...)
	array := s.call(submit...)
	join := s.call("sbatch", "--parsable", "--dependency=afterany:"+array, "--mem=100M", joining, "many")
	killed := map[string]bool{}
	for len(killed) < 2 {
		killed[s.killOne(killed)] = true
	}
	failed := slices.Sorted(maps.Keys(killed))
	t.Logf("killed while they wrote: parts %v", failed)
	for k := 1; k <= 16; k++ {
		want := "COMPLETED"
		if killed[strconv.Itoa(k)] {
			want = "FAILED"
		}
		if is := s.waitFor(task(array, strconv.Itoa(k)), "COMPLETED", "FAILED", "CANCELLED", "TIMEOUT", "NODE_FAIL"); is != want {
			t.Errorf("task %d is %s, expected %s", k, is, want)
		}
	}
	s.waitFor(join, "FAILED")
	said := content(t, "parts/join-"+join+".txt")
	for _, want := range []string{"missing in parts: parts ", "of 16"} {
		if !strings.Contains(said, want) {
			t.Errorf("the join says %q, and not %q", said, want)
		}
	}
	for _, k := range failed {
		if !regexp.MustCompile(`\b` + k + `\b`).MatchString(said) {
			t.Errorf("the join does not name part %s: %s", k, said)
		}
		if _, err := os.Stat("parts/part-" + k + "-of-16.rundown"); err == nil {
			t.Errorf("a killed part took its name: %s", k)
		}
	}
	if _, err := os.Stat("many"); err == nil {
		t.Error("the join has written, though parts were missing")
	}
	for _, k := range failed {
		s.call("scontrol", "requeue", task(array, k))
		s.call("scontrol", "update", "JobId="+task(array, k), "StartTime=now")
	}
	for _, k := range failed {
		s.waitFor(task(array, k), "COMPLETED")
	}
	s.waitFor(s.call("sbatch", "--parsable", "--dependency=afterany:"+array, "--mem=100M", joining, "many"), "COMPLETED")
	if out, err := exec.Command(binary, append(strings.Fields(slurmLine), "--out", "one", "--quiet")...).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	sameFiles(t, "one", "many")
}
