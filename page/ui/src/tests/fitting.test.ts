import { describe, expect, it } from 'vitest'
import { dayOf, stopped, whereabouts } from '../fitting'

const list = (...done: string[]) => done.map((d, i) => ({ do: `step ${i}`, done: d, note: '' }))

describe('whereabouts', () => {
  it.each([
    ['nothing begun', list('', '', ''), { done: 0, total: 3, next: 0, last: null, passedOver: [] }],
    ['in the middle', list('a', 'b', '', ''), { done: 2, total: 4, next: 2, last: 1, passedOver: [] }],
    ['one passed over', list('a', '', 'c', ''), { done: 2, total: 4, next: 3, last: 2, passedOver: [1] }],
    ['back to the one passed over', list('a', ' ', 'c'), { done: 2, total: 3, next: 1, last: 2, passedOver: [1] }],
    ['all done', list('a', 'b'), { done: 2, total: 2, next: null, last: 1, passedOver: [] }],
    ['no list', [], { done: 0, total: 0, next: null, last: null, passedOver: [] }],
  ])('%s', (_, steps, want) => {
    expect(whereabouts(steps)).toEqual(want)
  })
})

describe('stopped', () => {
  it('keeps the note that was there', () => {
    expect(stopped('', 'stopped 2026-03-01', '')).toBe('stopped 2026-03-01')
    expect(stopped('', 'stopped 2026-03-01', ' screen not sleeved ')).toBe('stopped 2026-03-01: screen not sleeved')
    expect(stopped('grey lead', 'stopped 2026-03-01', 'x')).toBe('grey lead; stopped 2026-03-01: x')
  })
})

it('writes a day with two digits', () => {
  expect(dayOf(new Date(2026, 2, 1, 23, 59))).toBe('2026-03-01')
})
