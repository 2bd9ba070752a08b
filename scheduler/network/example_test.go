package network_test

import (
	"errors"
	"fmt"
	"strings"

	"jambwright/scheduler/network"
)

// A workspace is kept and used again; whoever wants to try something out changes it and updates.
func ExampleWorkspace_Update() {
	b := newBuilder().fixed("order", 300).fixed("frame", 120).fixed("glaze", 60).link("order", "glaze").link("frame", "glaze")
	compiled, err := network.Compile(b.problem())
	if err != nil {
		fmt.Println(err)
		return
	}
	var w network.Workspace
	dates := w.Compute(compiled)
	frame := compiled.TaskOf("frame")
	fmt.Println("frame has", dates.TotalFloat[frame], "minutes")

	w.SetRelease(frame, compiled.DataDate+200)
	dates = w.Update()
	fmt.Println("started 200 minutes later it has", dates.TotalFloat[frame])
	// Output:
	// frame has 180 minutes
	// started 200 minutes later it has 0
}

// The ring of a cycle can be shown task by task.
func ExampleCycleError() {
	b := newBuilder().fixed("frame", 1).fixed("glaze", 1).fixed("punch", 1)
	_, err := network.Compile(b.link("frame", "glaze").link("glaze", "punch").link("punch", "frame").problem())
	var cycle *network.CycleError
	if errors.As(err, &cycle) {
		fmt.Println(strings.Join(cycle.Tasks, ", "))
	}
	// Output: frame, glaze, punch
}
