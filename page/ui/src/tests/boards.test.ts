import { describe, expect, it } from 'vitest'
import { beyond } from '../boards/ask'
import { needed, optional } from '../boards/lengths'
import { fit, mark, mm, signedMm } from '../boards/show'
import type { Finding } from '../types'
import { words } from '../words'

describe('lengths', () => {
  it.each([
    [0, '0.00 mm', '0.00 mm'],
    [-0.001, '0.00 mm', '0.00 mm'],
    [-0.158, '−0.16 mm', '−0.16 mm'],
    [39.0734, '39.07 mm', '+39.07 mm'],
  ])('%d', (x, plain, signed) => {
    expect(mm(x)).toBe(plain)
    expect(signedMm(x)).toBe(signed)
  })

  it.each([[0, '0'], [2, '+2'], [-10, '−10'], [-1.5, '−1.5']])('the mark of %d dB is %s', (db, text) => {
    expect(mark(db)).toBe(text)
  })

  it('every key that is asked for has its words', () => {
    for (const sheet of ['panel', 'tab'] as const) {
      expect(Object.keys(words.boards.lengths[sheet].keys)).toEqual([...needed[sheet], ...optional[sheet]])
    }
  })
})

describe('a tongue in its slot', () => {
  it.each([
    [{ cut: true, fits: false, fits_alone: false }, 'cut'],
    [{ cut: false, fits: true, fits_alone: true }, 'fits'],
    [{ cut: false, fits: false, fits_alone: true }, 'alone'],
    [{ cut: false, fits: false, fits_alone: false }, 'not'],
  ])('%j', (slot, is) => {
    expect(fit(slot)).toBe(is)
  })
})

it('what the panel said is not said again of its drilling', () => {
  const one: Finding = { id: 'a', level: 'warning', say: 'one' }
  const other: Finding = { id: 'a', level: 'warning', say: 'other' }
  expect(beyond([one, other], [one])).toEqual([other])
})
