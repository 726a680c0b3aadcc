import { expect, test } from 'vitest'
import { caught, keyed, lettered, positionAt, usual, yOf } from '../strip'

test('a place on the travel and its height are each other’s inverse', () => {
  for (let p = -1; p <= 1; p += 0.01) expect(positionAt(usual, yOf(usual, p))).toBeCloseTo(p, 12)
  expect(positionAt(usual, -100)).toBe(1)
  expect(positionAt(usual, 1000)).toBe(-1)
})

test.each([
  [0, 'ArrowUp', false, 0.1],
  [0.05, 'ArrowUp', false, 0.1],
  [0.1, 'ArrowDown', false, 0],
  [-0.1, 'ArrowUp', false, 0],
  [0.97, 'ArrowUp', false, 1],
  [1, 'ArrowRight', false, 1],
  [0, 'ArrowLeft', true, -0.02],
  [0.3, 'PageUp', false, 0.5],
  [-0.6, 'PageDown', false, -1],
  [0.3, 'Home', false, -1],
  [0.3, 'End', false, 1],
  [0.3, '0', false, 0],
  [0.3, 'a', false, null],
])('%f with %s (fine %s) goes to %s', (from, key, fine, to) => {
  expect(keyed(from, key, fine)).toBe(to)
})

test('forty presses from end to end meet every step once', () => {
  let at = -1
  const seen = [at]
  while (at < 1) seen.push((at = keyed(at, 'ArrowUp', false)!))
  expect(seen.length).toBe(21)
  while (at > -1) expect((at = keyed(at, 'ArrowDown', false)!)).toBe(seen[seen.indexOf(at)])
})

test('the middle catches what is meant for it', () => {
  expect([caught(0.02), caught(-0.02), caught(0.03)]).toEqual([0, 0, 0.03])
})

test('numbers stand where there is room, the ends first', () => {
  const marks = [-0.99, -0.95, -0.88, -0.76, -0.51, 0.51, 0.76, 0.88, 0.95, 0.99].map((position) => ({ position }))
  const shown = lettered(usual, marks, 3.3)
  expect(shown.map((m) => m.position).sort((a, b) => a - b)).toEqual([-0.99, -0.76, -0.51, 0.51, 0.76, 0.99])
  const heights = [0, ...shown.map((m) => m.position)].map((p) => yOf(usual, p)).sort((a, b) => a - b)
  heights.slice(1).forEach((y, i) => expect(y - heights[i]!).toBeGreaterThanOrEqual(3.3))
  expect(lettered(usual, [], 3)).toEqual([])
})
