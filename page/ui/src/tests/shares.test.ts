import { describe, expect, it } from 'vitest'
import type { Account, AccountFigure } from '../curves/ask'
import { found, off, shareRows } from '../curves/shares'

const share = (field: string, at: number, half: number) => ({ field, share: at, low: at - half, high: at + half })
const figure: AccountFigure = {
  figure: '400 centre_hz',
  from: 398.9,
  to: 420.8,
  difference: 0.055,
  relative: true,
  own: [share('Henries', 0.05, 0.001), share('Farads', 0.004, 0.001)],
  all: null,
  neighbours: share('', -0.0002, 0.0001),
  explained: share('', 0.0538, 0.001),
  as_drawn: null,
  not_explained: 0.0012,
  reading: null,
}
const account: Account = {
  from: 'predicted',
  to: 'B',
  bands: [{ band: '400', centre: figure, boost: { ...figure, from: 9.94, to: 9.98, difference: 0.04, relative: false, own: [], as_drawn: -0.01, not_explained: 0 }, cut: null, width: null }],
  hiss_from_dbu: null,
  hiss_to_dbu: null,
  hum_found: '',
  hum_left: '',
}

it('a row a figure: shares of hertz in per cent, of decibels as they are', () => {
  expect(shareRows(account)).toEqual([
    ['400', 'centre', '398.9 Hz', '420.8 Hz', '+5.50', '+5.00 ±0.10', '+0.40 ±0.10', '0.00 ±0.00', '−0.02 ±0.01', '', '+0.12'],
    ['400', 'boost', '+9.94 dB', '+9.98 dB', '+0.04', '0.00 ±0.00', '0.00 ±0.00', '0.00 ±0.00', '0.00 ±0.00', '−0.01', '0.00'],
  ])
})

describe('a value as found', () => {
  it.each([
    ['Ohms', 333.3, '333.3 Ω'],
    ['Henries', 0.4101, '410.1 mH'],
    ['Farads', 2.229e-6, '2.229 µF'],
    ['Track', 10160, '10.16 kΩ'],
    ['Gain', 1.5, '1.5'],
  ])('%s', (field, value, text) => {
    expect(found({ field, value })).toBe(text)
  })

  it('says how far it is off, and when nobody can tell', () => {
    expect(off({ told: true, off: -0.0067, value: 100, high: 100.1 })).toBe('−0.67 % ±0.10 %')
    expect(off({ told: true, off: 0, value: 100, high: 300 })).toBe('0.00 % not known')
    expect(off({ told: false, off: 0, value: 100, high: 101 })).toBe('not told')
  })
})
