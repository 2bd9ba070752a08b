// Package pattern turns a company's openings, areas, releases, handovers and crews into the problem that the planner solves.
package pattern
