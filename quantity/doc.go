// Package quantity reads and writes values as a bench writes them.
package quantity
