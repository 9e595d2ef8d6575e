package main

import (
	"bytes"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"gopkg.in/yaml.v3"

	"rundown/sim/simtest"
)

// onPath makes a program called rundown, which is this test's, be found by scripts.
func onPath(t *testing.T) {
	t.Helper()
	if runtime.GOOS == "windows" {
		t.Skip("the scripts are for bash")
	}
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	text := fmt.Sprintf("#!/bin/sh\n%s=none exec '%s' \"$@\"\n", childVariable, self)
	if err := os.WriteFile(filepath.Join(dir, "rundown"), []byte(text), 0o755); err != nil {
		t.Fatal(err)
	}
	t.Setenv("PATH", dir+string(os.PathListSeparator)+os.Getenv("PATH"))
}

// scheduled runs a script with variables set, as who schedules it would.
func scheduled(t *testing.T, set []string, args ...string) {
	t.Helper()
	c := exec.Command(args[0], args[1:]...)
	c.Env = append(os.Environ(), set...)
	if out, err := c.CombinedOutput(); err != nil {
		t.Fatalf("%v %v: %v\n%s", set, args, err, out)
	}
}

func clusterFile(t *testing.T, name string) string {
	t.Helper()
	path, err := filepath.Abs(filepath.Join("..", "..", "examples", "cluster", name))
	if err != nil {
		t.Fatal(err)
	}
	return path
}

// sameFiles compares the folders that one machine and many have written.
func sameFiles(t *testing.T, one, many string) {
	t.Helper()
	a, b := hashes(t, one), hashes(t, many)
	if len(a) < 5 || !maps.Equal(a, b) {
		t.Errorf("of %d files some differ", len(a))
	}
}

// The scripts for Slurm, task by task with the variables that Slurm sets, give what one
// machine gives. One task is submitted again by itself.
func TestSlurmScripts(t *testing.T) {
	part, join := clusterFile(t, "part.sh"), clusterFile(t, "join.sh")
	onPath(t)
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	call := strings.Fields("forecast plan.yaml --replicates 30")
	if got := run(t, append(call, "--out", "one")...); got.code != exitDone {
		t.Fatal(got.stderr)
	}
	for _, task := range []string{"3", "1"} {
		scheduled(t, []string{"SLURM_ARRAY_TASK_ID=" + task, "SLURM_ARRAY_TASK_COUNT=3", "SLURM_CPUS_PER_TASK=2"}, append([]string{"bash", part}, call...)...)
	}
	scheduled(t, []string{"SLURM_ARRAY_TASK_ID=2", "SLURM_ARRAY_TASK_COUNT=1", "PARTS=3"}, append([]string{"bash", part}, call...)...)
	scheduled(t, nil, "bash", join, "many")
	sameFiles(t, "one", "many")
}

// indexedJob are the fields of a Job of batch/v1 that the manifest uses, named as the
// API reference of Kubernetes 1.29 or later names them (from memory).
type indexedJob struct {
	APIVersion string `yaml:"apiVersion"`
	Kind       string
	Metadata   struct{ Name string }
	Spec       struct {
		CompletionMode       string `yaml:"completionMode"`
		Completions          int
		Parallelism          int
		BackoffLimitPerIndex int `yaml:"backoffLimitPerIndex"`
		Template             struct {
			Spec struct {
				RestartPolicy string `yaml:"restartPolicy"`
				Containers    []struct {
					Name, Image   string
					WorkingDir    string `yaml:"workingDir"`
					Command, Args []string
					Resources     struct{ Requests map[string]string }
					VolumeMounts  []struct {
						Name      string
						MountPath string `yaml:"mountPath"`
					} `yaml:"volumeMounts"`
				}
				Volumes []struct {
					Name                  string
					PersistentVolumeClaim struct {
						ClaimName string `yaml:"claimName"`
					} `yaml:"persistentVolumeClaim"`
				}
			}
		}
	}
}

// The manifest holds known fields only, says what an Indexed Job must, and what its pods
// run gives what one machine gives: here for three parts and few runs.
func TestIndexedJob(t *testing.T) {
	text, err := os.ReadFile(clusterFile(t, "parts-job.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	var job indexedJob
	d := yaml.NewDecoder(bytes.NewReader(text))
	d.KnownFields(true)
	if err := d.Decode(&job); err != nil {
		t.Fatal(err)
	}
	spec := &job.Spec
	pod := &spec.Template.Spec
	if job.APIVersion != "batch/v1" || job.Kind != "Job" || spec.CompletionMode != "Indexed" || pod.RestartPolicy != "Never" ||
		spec.BackoffLimitPerIndex < 1 || spec.Parallelism < 1 {
		t.Fatalf("it is no Indexed Job whose parts are made again: %+v", job)
	}
	c := &pod.Containers[0]
	if c.VolumeMounts[0].Name != pod.Volumes[0].Name || c.VolumeMounts[0].MountPath != c.WorkingDir || pod.Volumes[0].PersistentVolumeClaim.ClaimName == "" {
		t.Errorf("the folder of the study is not that of the volume: %+v", pod)
	}
	of := fmt.Sprintf("/%d\"", spec.Completions)
	if len(c.Args) != 1 || strings.Count(c.Args[0], of) != 1 {
		t.Fatalf("it makes %d parts, and its pods run %q", spec.Completions, c.Args)
	}
	onPath(t)
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	command := strings.NewReplacer(of, `/3"`, "--replicates 200000", "--replicates 30").Replace(c.Args[0])
	for index := range 3 {
		scheduled(t, []string{fmt.Sprint("JOB_COMPLETION_INDEX=", index)}, append(c.Command, command)...)
	}
	for _, line := range []string{"forecast plan.yaml --replicates 30 --out one", "join parts --out many"} {
		if got := run(t, strings.Fields(line)...); got.code != exitDone {
			t.Fatalf("%s: %s", line, got.stderr)
		}
	}
	sameFiles(t, "one", "many")
}

// The manifest against the published schema of a Job of batch/v1, which knows nothing of
// this program; of others a value of another type, one that is missing and one beyond the
// choices are found.
func TestManifestBySchema(t *testing.T) {
	simtest.Stage(t, "schemas")
	folder, path := tools(t), clusterFile(t, "parts-job.yaml")
	good, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	files, want := []string{path}, map[string]string{path: ""}
	for i, x := range [][3]string{{"completions: 64", "completions: many", "completions must be integer"}, {"          image:", "          picture:", ""},
		{"        - name: part", "        - title: part", "must have required property name"}, {"apiVersion: batch/v1", "apiVersion: batch/v2", "apiVersion"}} {
		file := filepath.Join(t.TempDir(), fmt.Sprint(i, ".yaml"))
		if err := os.WriteFile(file, bytes.Replace(good, []byte(x[0]), []byte(x[1]), 1), 0o644); err != nil {
			t.Fatal(err)
		}
		files, want[file] = append(files, file), x[2]
	}
	said := map[string]string{}
	script(t, folder, &said, "manifest.mjs", files...)
	for file, text := range want {
		if (text == "") != (said[file] == "") || !strings.Contains(said[file], text) {
			t.Errorf("%s: %q, expected %q", file, said[file], text)
		}
	}
}
