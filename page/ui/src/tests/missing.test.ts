import { describe, expect, it } from 'vitest'
import { missing, standings, unsafe } from '../missing'
import type { JobView } from '../types'

const filled = {
  title: 'x',
  invented: true,
  agreed: { customer: 'a', wants: 'b', price: 'c', date: 'd', by: 'e' },
  found: { mains: '231 V', rail: '412 V', hum: 'h', repairs: 'none', measured: 'd' },
  tap_in: { where: 'w', source: '1 kΩ', load: '470 kΩ', level: '-6 dBu', cut: 'c', zero_volt: 'z', rail_tap: 'r' },
  band: [{ name: '63', coil: { measured: { value: '2.72 H' } }, capacitor: { measured: { value: '2.2 µF' } } }],
  curve: [{ name: 'flat', role: 'measured' }],
  fitting: [{ do: 'unplug', done: 'x', note: '' }],
  safety: { earth_bond: '0.1 ohm', leakage: 'l', insulation: 'i', soak: 's', date: 'd', by: 'b' },
} as unknown as JobView

describe('missing', () => {
  it('finds nothing in a whole record, and everything in none', () => {
    expect(missing(filled)).toEqual([])
    expect(unsafe(missing(filled))).toBe(false)
    expect(missing(null)).toEqual([])
  })

  it.each([
    ['agreed', 'price', 'agreed'],
    ['found', 'hum', 'found'],
    ['tap_in', 'cut', 'tap_in'],
    ['safety', 'leakage', 'safety'],
  ])('names a blank %s.%s and where it is entered', (table, key, at) => {
    const view = { ...filled, [table]: { ...(filled[table] as object), [key]: ' ' } } as JobView
    const list = missing(view)
    expect(list).toHaveLength(1)
    expect(list[0]).toMatchObject({ table, step: 'ticket', at })
    expect(unsafe(list)).toBe(table === 'safety')
  })

  it('names steps not done, parts not measured and a job without curves', () => {
    const view = {
      ...filled,
      fitting: [{ do: 'unplug', done: 'x' }, { do: 'ring out', done: '' }],
      band: [{ name: '63', coil: { value: '2.7 H' }, capacitor: { measured: { value: '2.2 µF' } } }],
      curve: [{ name: 'wanted', role: 'target' }],
    } as unknown as JobView
    expect(missing(view).map((m) => [m.table, m.what, m.at])).toEqual([
      ['parts', 'the coil of band 63 was not measured', 'band-63'],
      ['fitting', 'step 2: ring out', 'fitting-1'],
      ['curves', 'no measured curve', 'bring-head'],
    ])
  })
})

describe('standings', () => {
  it('tell what the record itself tells of', () => {
    expect(standings(filled)).toEqual({ ticket: 'done', parts: 'done', handover: 'done' })
    expect(standings({ ...filled, safety: {} } as unknown as JobView)).toEqual({ ticket: 'ahead', parts: 'done', handover: 'ahead' })
    expect(standings({ ...filled, curve: [] } as unknown as JobView)).toEqual({ ticket: 'done', parts: 'done', handover: 'ahead' })
    expect(standings(null).ticket).toBe('look')
  })
})
