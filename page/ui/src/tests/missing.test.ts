import { describe, expect, it } from 'vitest'
import { whereIs } from '../handover/where'
import { standings, unsafe } from '../missing'
import type { JobView } from '../types'

const filled = {
  title: 'x',
  amp: 'y',
  invented: true,
  agreed: { customer: 'a', wants: 'b', price: 'c', date: 'd', by: 'e' },
  found: { mains: '231 V', rail: '412 V', hum: 'h', repairs: 'none', measured: 'd' },
  tap_in: { where: 'w', load: '470 kΩ', level: '-6 dBu', cut: 'c', zero_volt: 'z', rail_tap: 'r' },
  band: [{ name: '63', coil: { measured: { value: '2.72 H' } }, capacitor: { measured: { value: '2.2 µF' } } }],
  feed: { fuse: '1 A', cold: '430 V', ripple: '1 V' },
  run: [{ name: 'in', state: 'made' }],
  volts: { stage: ['bench', 'limiter', 'mains'].map((stage) => ({ stage, signed: 'x' })) },
  reading: [{ kind: 'ohms', value: '1 Ω' }, { kind: 'volts', value: '12 V' }],
  curve: [{ name: 'flat', role: 'measured' }],
  fitting: [{ do: 'unplug', done: 'x', note: '' }],
  left: { mains: 'm', rail: 'r', hum: 'h', noise: 'n', normal_hum: 'n', footswitch: 'f', measured: 'd', volts: [{ where: 'w', reading: 'r' }] },
  safety: { earth_bond: '0.1 ohm', leakage: 'l', insulation: 'i', soak: 's', date: 'd', by: 'b' },
  record: { owner: 'o', serial: 's', taken_in: 't', why: 'w', handed_back: 'h', by: 'b', photo: [{ file: 'cut.jpg' }] },
} as unknown as JobView

const without = (table: string, key: string): JobView => ({ ...filled, [table]: { ...(filled[table] as object), [key]: ' ' } }) as JobView

describe('standings', () => {
  it('tell what the record itself tells of', () => {
    expect(standings(filled)).toEqual({ ticket: 'done', parts: 'done', handover: 'done' })
    expect(standings(null).ticket).toBe('look')
  })

  it.each([
    ['agreed', 'price', 'ahead'],
    ['found', 'hum', 'ahead'],
    ['tap_in', 'cut', 'ahead'],
    ['record', 'why', 'ahead'],
    ['record', 'by', 'done'],
    ['feed', 'fuse', 'done'],
    ['left', 'hum', 'done'],
    ['safety', 'leakage', 'done'],
  ])('a blank %s.%s leaves the record unfinished, and the ticket %s', (table, key, ticket) => {
    const view = without(table, key)
    expect(standings(view)).toEqual({ ticket, parts: 'done', handover: 'ahead' })
    expect(unsafe(view)).toBe(table === 'safety')
  })

  it.each([
    ['fitting', [{ do: 'ring out', done: '' }]],
    ['band', [{ name: '63', coil: { value: '2.7 H' }, capacitor: { measured: { value: '2.2 µF' } } }]],
    ['run', []],
    ['run', [{ name: 'in', state: '' }]],
    ['moved', [{ name: 'lamp', mains: true, signed_by: '' }]],
    ['reading', [{ kind: 'ohms', value: '' }, { kind: 'volts', value: '12 V' }]],
    ['volts', { stage: [{ stage: 'bench', signed: 'x' }] }],
    ['curve', [{ name: 'wanted', role: 'target' }]],
  ])('so does %s with %j', (table, is) => {
    expect(standings({ ...filled, [table]: is } as unknown as JobView).handover).toBe('ahead')
  })

  it('nothing is safe without its readings', () => {
    expect(unsafe(filled)).toBe(false)
    expect(unsafe({ ...filled, safety: undefined } as unknown as JobView)).toBe(true)
    expect(unsafe(null)).toBe(false)
  })
})

describe('where an entry is made', () => {
  it.each([
    ['amp', '', 'ticket', 'field-amp'],
    ['agreed.price', '', 'ticket', 'field-agreed-price'],
    ['record.why', '', 'ticket', 'field-record-why'],
    ['record.handed_back', '', 'handover', 'field-record-handed_back'],
    ['record.photo', '', 'handover', 'photos-new'],
    ['band.coil.measured', '63', 'bands', 'band-63'],
    ['fitting.done', '19, Return the 0 V', 'ticket', 'fitting-18'],
    ['run.state', 'tap', 'wiring', ''],
    ['volts.stage', 'mains', 'volts', ''],
    ['reading.ohms', '', 'ohms', ''],
    ['left.volts', '', 'handover', 'left-volts-new'],
    ['safety.soak', '', 'handover', 'field-safety-soak'],
  ])('%s %s', (key, of, step, at) => {
    expect(whereIs({ key, of })).toEqual({ step, at })
  })

  it('one that the page does not know leads nowhere', () => {
    expect(whereIs({ key: 'other.thing', of: '' })).toBeNull()
  })
})
