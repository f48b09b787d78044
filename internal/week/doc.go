// Package week plans one student's week as an exact optimisation.
package week
