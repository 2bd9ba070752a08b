package main

import (
	"cmp"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"
)

// published holds the best bounds known for one instance.
type published struct {
	lower, upper int32
}

// measured is one solved instance beside the best makespan published for it.
type measured struct {
	solved
	upper int32
}

// fromBest returns the deviation from the best published makespan in percent.
func (m measured) fromBest() float64 { return deviation(m.Makespan, m.upper) }

func deviation(value, reference int32) float64 {
	if reference == 0 {
		return 0
	}
	return 100 * float64(value-reference) / float64(reference)
}

// solveSet solves all instances of a directory and prints the figures used in the published comparisons.
func solveSet(ctx context.Context, dir string, settings solveSettings, stdout io.Writer) error {
	if settings.best == "" {
		return unusable{errors.New("a directory needs --best BEST.csv with the best published bounds")}
	}
	best, errBest := readBest(settings.best)
	paths, err := instanceFiles(dir, settings.only)
	if err = errors.Join(errBest, err); err != nil {
		return unusable{err}
	}
	if err := checkSet(paths, best, settings.best); err != nil {
		return unusable{err}
	}
	began := time.Now()
	results, err := solveAll(ctx, paths, best, settings)
	if err != nil {
		return err
	}
	return printSet(stdout, results, settings, time.Since(began))
}

// readBest reads lines of instance, lower bound, upper bound below a title line.
func readBest(path string) (map[string]published, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	reader := csv.NewReader(file)
	reader.FieldsPerRecord = -1 // rows are judged one by one, so that all faults are told
	table, err := reader.ReadAll()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	if len(table) == 0 || len(table[0]) < 3 {
		return nil, fmt.Errorf("%s: want a title line and the columns instance, lower_bound, upper_bound", path)
	}
	best := make(map[string]published, len(table))
	var faults []error
	for i, row := range table[1:] {
		bounds, err := readBounds(row)
		if _, twice := best[row[0]]; err == nil && twice {
			err = fmt.Errorf("instance %s is listed twice: take one row out", row[0])
		}
		if err != nil {
			faults = append(faults, fmt.Errorf("%s: row %d: %w", path, i+2, err))
			continue
		}
		best[row[0]] = bounds
	}
	return best, errors.Join(faults...)
}

func readBounds(row []string) (published, error) {
	if len(row) < 3 {
		return published{}, fmt.Errorf("%d columns, want instance, lower_bound, upper_bound", len(row))
	}
	lower, errLower := strconv.ParseInt(row[1], 10, 32)
	upper, errUpper := strconv.ParseInt(row[2], 10, 32)
	if errLower != nil || errUpper != nil || lower < 0 || lower > upper {
		return published{}, fmt.Errorf("bounds %q and %q are not whole numbers from 0 on in order", row[1], row[2])
	}
	return published{int32(lower), int32(upper)}, nil
}

// checkSet tells before anything is solved which files cannot be read and which have no bounds.
func checkSet(paths []string, best map[string]published, table string) error {
	var faults []error
	for _, path := range paths {
		if _, err := readInstance(path); err != nil {
			faults = append(faults, err)
		}
		if _, found := best[instanceName(path)]; !found {
			faults = append(faults, fmt.Errorf("%s has no row for instance %s: add one, or leave the file out by --only", table, instanceName(path)))
		}
	}
	return errors.Join(faults...)
}

// instanceFiles lists the .sm files of a directory whose names fit the pattern, in order of their names.
func instanceFiles(dir, pattern string) ([]string, error) {
	paths, err := filepath.Glob(filepath.Join(dir, pattern))
	if err != nil {
		return nil, fmt.Errorf("pattern %q: %w", pattern, err)
	}
	paths = slices.DeleteFunc(paths, func(path string) bool { return filepath.Ext(path) != ".sm" })
	if len(paths) == 0 {
		return nil, fmt.Errorf("%s holds no .sm file that fits %q: name the folder of the instances, or another pattern by --only", dir, pattern)
	}
	return paths, nil
}

// solveAll solves the files with the given number of workers. The results are in the order of the files.
func solveAll(ctx context.Context, paths []string, best map[string]published, settings solveSettings) ([]measured, error) {
	results := make([]measured, len(paths))
	faults := make([]error, len(paths))
	next := make(chan int)
	var workers sync.WaitGroup
	for range min(settings.workers, len(paths)) {
		workers.Go(func() {
			for i := range next {
				results[i], faults[i] = solveMember(ctx, paths[i], best, settings)
			}
		})
	}
	for i := range paths {
		next <- i
	}
	close(next)
	workers.Wait()
	return results, errors.Join(faults...)
}

func solveMember(ctx context.Context, path string, best map[string]published, settings solveSettings) (measured, error) {
	if err := ctx.Err(); err != nil {
		return measured{}, fmt.Errorf("%s: not solved: %w", path, err)
	}
	result, err := solveFile(ctx, path, settings)
	if err != nil {
		return measured{}, err
	}
	bounds := best[result.Instance] // checkSet has seen that there are some
	if result.Makespan < bounds.lower {
		return measured{}, fmt.Errorf("%s: makespan %d is below the published lower bound %d", path, result.Makespan, bounds.lower)
	}
	return measured{solved: result, upper: bounds.upper}, nil
}

// printSet prints averages over the set, the five instances farthest from the best, and the run figures.
func printSet(w io.Writer, results []measured, settings solveSettings, elapsed time.Duration) error {
	count := float64(len(results))
	var fromCritical, fromBest float64
	var atBest, proved, better int
	var schedules, busy int64
	for _, m := range results {
		fromCritical += deviation(m.Makespan, m.CriticalPath) / count
		fromBest += m.fromBest() / count
		schedules += m.Schedules
		busy += m.ElapsedMS
		atBest += count01(m.Makespan <= m.upper)
		better += count01(m.Makespan < m.upper)
		proved += count01(m.Proved)
	}
	slices.SortStableFunc(results, func(a, b measured) int { return cmp.Compare(b.fromBest(), a.fromBest()) })
	var worst []string
	for _, m := range results[:min(5, len(results))] {
		worst = append(worst, fmt.Sprintf("%s %d/%d (+%.2f %%)", m.Instance, m.Makespan, m.upper, m.fromBest()))
	}
	_, err := fmt.Fprintf(w, `instances                      %d
average from critical path     %.3f %%
average from best known        %.3f %%
at best known                  %d
better than best known         %d
proved optimal                 %d
worst five                     %s
limits per instance            %s
seed                           %d
workers                        %d
schedules                      %d (%.0f an instance)
schedules a second and worker  %.0f
elapsed                        %v
`, len(results), fromCritical, fromBest, atBest, better, proved, strings.Join(worst, ", "), limits(settings), settings.seed,
		settings.workers, schedules, float64(schedules)/count, 1000*float64(schedules)/max(1, float64(busy)), elapsed.Round(time.Millisecond))
	return err
}

func count01(condition bool) int {
	if condition {
		return 1
	}
	return 0
}

func limits(settings solveSettings) string {
	var parts []string
	if settings.schedules > 0 {
		parts = append(parts, fmt.Sprintf("%d schedules", settings.schedules))
	}
	if settings.limit > 0 {
		parts = append(parts, settings.limit.String())
	}
	return strings.Join(parts, ", ")
}
