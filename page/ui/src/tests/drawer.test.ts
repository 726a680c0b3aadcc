import { describe, expect, it } from 'vitest'
import { barred, byPlace, filtered, fixed, inSight, sorted, type Hand } from '../drawer/table'
import { cellsOf, rowText, standardTitles, withPasted, withRow } from '../drawer/sheet'
import type { DrawerPart, Mapping } from '../drawer/types'

const part = (id: string, more: Partial<DrawerPart> = {}): DrawerPart => ({ id, kind: 'coil', count: 1, ...more })

describe('the table', () => {
  const parts = [
    part('bag 10', { marked: 1, place: 'A2' }),
    part('bag 9', { marked: 0.39, readings: [{ value: 0.4 }, { value: 0.41, q: 9 }, { dcr: 80 }] }),
    part('film 1', { kind: 'capacitor', marked: 2.2e-6 }),
  ]
  const ids = (list: readonly DrawerPart[]) => list.map((p) => p.id)

  it('sorts by what a column shows', () => {
    expect(ids(sorted(parts, { by: 'id', down: false }))).toEqual(['bag 9', 'bag 10', 'film 1'])
    expect(ids(sorted(parts, { by: 'marked', down: true }))).toEqual(['bag 10', 'bag 9', 'film 1'])
    expect(ids(sorted(parts, { by: 'measured', down: true }))[0]).toBe('bag 9')
    expect(ids(sorted(parts, { by: 'q', down: true }))[0]).toBe('bag 9')
    expect(ids(sorted(parts, { by: 'dcr', down: true }))[0]).toBe('bag 9')
    expect(ids(parts)).toEqual(['bag 10', 'bag 9', 'film 1'])
  })

  it('keeps what has every word', () => {
    const text = (p: DrawerPart) => `${p.id} ${p.place ?? ''}`
    expect(ids(filtered(parts, '', 'BAG a2', text))).toEqual(['bag 10'])
    expect(ids(filtered(parts, 'capacitor', '', text))).toEqual(['film 1'])
    expect(filtered(parts, '', '  ', text)).toBe(parts)
  })

  it('draws what is in sight and no more', () => {
    expect(inSight(10_000, 32, 0, 640)).toEqual({ from: 0, to: 28 })
    expect(inSight(10_000, 32, 160_000, 640)).toEqual({ from: 4992, to: 5028 })
    expect(inSight(10, 32, 99_999, 640)).toEqual({ from: 2, to: 10 })
    expect(inSight(0, 32, 0, 640)).toEqual({ from: 0, to: 0 })
  })
})

describe('the sheet', () => {
  it('reads back every row it writes', () => {
    const rows = [['a', 'b,c', 'say "x"', ''], ['two\nlines', '1,5', 'µ', 'Ω']]
    for (const separator of [',', ';', '\t']) {
      const text = rows.map((r) => `${rowText(r, separator)}\n`).join('')
      expect(cellsOf(text, separator)).toEqual(rows)
    }
    expect(cellsOf('a,b\r\nc,d', ',')).toEqual([['a', 'b'], ['c', 'd']])
    expect(rowText(['#1', 'x'], ',')).toBe('"#1",x')
  })

  const mapping: Mapping = {
    separator: 'semicolon',
    columns: [
      { number: 1, title: 'Bag', holds: 'id' },
      { number: 2, title: 'L', holds: 'value', kind: 'coil' },
      { number: 3, title: 'Value', holds: 'value' },
    ],
  }

  it('puts a new part under the columns that hold it, and adds titles it lacks', () => {
    const text = 'Bag;L;Value\nbag 1;390m;\n'
    expect(withRow(text, mapping, 1, { id: 'bag 2', value: '1 H', mode: '' })).toBe('Bag;L;Value\nbag 1;390m;\nbag 2;;1 H\n')
    expect(withRow(text, mapping, 1, { id: 'bag 2', value: '1 H', q: '7,9' })).toBe(
      'Bag;L;Value;Q\nbag 1;390m;\nbag 2;;1 H;7,9\n',
    )
  })

  it('begins a drawer with titles for all a meter says', () => {
    const columns = standardTitles.trim().split(',').map((title, i) => ({ number: i + 1, title, holds: title.toLowerCase() }))
    const text = withRow(standardTitles, { separator: 'comma', columns }, 1, { id: 'bag 1', kind: 'coil', value: '1 H', q: '5.2' })
    expect(text).toBe(`${standardTitles}bag 1,coil,1 H,,,,,5.2,,,,,,,,\n`)
  })

  it('joins pasted rows only under titles that are there', () => {
    const pasted: Mapping = { separator: 'tab', columns: [{ title: 'value', holds: 'value' }, { title: 'BAG', holds: 'id' }] }
    expect(withPasted('Bag;L;Value\nbag 1;390m;', mapping, 'value\tBAG\n1 H\tbag 2\n\t\n', pasted, 1)).toBe(
      'Bag;L;Value\nbag 1;390m;\nbag 2;;1 H\n',
    )
    const other: Mapping = { separator: 'tab', columns: [{ title: 'henries', holds: 'value' }] }
    expect(withPasted('Bag;L;Value\n', mapping, 'henries\n1\n', other, 1)).toBeNull()
  })
})

it('lists what to pick by place, and what is to be bought apart', () => {
  const pick = (id: string, place: string) => ({ id, place, kind: 'coil' as const, marked: 1, count: 1, bands: ['63'] })
  const list = [pick('bag 1', 'A1'), pick('film 1', 'B1'), pick('bag 2', 'A1'), pick('', '')]
  expect(byPlace(list).map(([place, picks]) => [place, picks.map((p) => p.id)])).toEqual([
    ['A1', ['bag 1', 'bag 2']],
    ['B1', ['film 1']],
    [null, ['']],
  ])
})

it('never fixes and bars the same part', () => {
  const none: Hand = { fixed: [], barred: [] }
  const one = fixed(none, '63', 'bag 1', true)
  expect(one).toEqual({ fixed: [{ band: '63', id: 'bag 1' }], barred: [] })
  expect(barred(one, 'bag 1', true)).toEqual({ fixed: [], barred: ['bag 1'] })
  expect(fixed(barred(one, 'bag 1', true), '63', 'bag 1', true)).toEqual(one)
  expect(fixed(one, '63', 'bag 1', false)).toEqual(none)
  expect(barred(barred(none, 'x', true), 'x', false)).toEqual(none)
})
