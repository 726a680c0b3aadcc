// A cause in words, as the printed sheet has it.

import type { components } from '../contract'
import { words } from '../words'

type Schemas = components['schemas']
export type Fault = Schemas['BenchFault']
export type Cause = Schemas['BenchCause']
type Edit = Schemas['CircuitEdit']

const w = words.cause

/** "q1: base and emitter exchanged". */
export function cause(f: Fault): string {
  const [first] = f.edits ?? []
  const part = first?.part ?? ''
  if (f.kind === 'as built') return w.asBuilt
  if (f.kind === 'none of these') return w.none
  if (f.kind === 'value') return w.value(part, w.values[first?.value ?? ''] ?? w.values[''] ?? '')
  if (f.kind === 'dry joint') return w.dry(part, f.part === 'slider' ? leg(f, first?.leg ?? 0) : '')
  if (f.kind === 'leak') return w.leaks(part)
  if (f.kind === 'shorted turns') return w.turns(part)
  if (f.kind === 'coupled') return w.coupled(part, first?.other ?? '', (first?.factor ?? 0) < 0)
  if (f.label !== undefined && f.label !== '') return `${f.label}: ${f.kind}`
  return (f.edits ?? []).map((e, i) => edited(e, i === 0 ? f : { ...f, legs: null, part: '' })).join(w.and)
}

const leg = (f: Fault, i: number): string => f.legs?.[i] ?? w.leg(i + 1)

function edited(e: Edit, f: Fault): string {
  const part = e.part ?? ''
  switch (e.kind) {
    case 'open':
      return w.open(part)
    case 'series':
      return w.open(`${part}: ${leg(f, e.leg ?? 0)}`)
    case 'short':
      return (f.legs?.length ?? 0) > 2 ? w.shorted(part, leg(f, e.leg ?? 0), leg(f, e.to_leg ?? 0)) : w.short(part)
    case 'bridge':
      return w.bridged(e.from ?? '', e.to ?? '')
    case 'swap':
      return w.swapped(part, e.other ?? '')
    case 'reverse':
      return f.part === 'slider' ? w.ends(part) : w.reversed(part)
    case 'permute':
      return `${part}: ${permuted(e.order ?? [], f)}`
    case 'move':
      return w.moved(part, e.to ?? '')
  }
  return f.name
}

function permuted(order: readonly number[], f: Fault): string {
  const out = order.flatMap((to, i) => (i === to ? [] : [leg(f, i)]))
  if (out.length === 2) return w.exchanged(out[0] ?? '', out[1] ?? '')
  return order.map((to, i) => w.where(leg(f, i), leg(f, to))).join(', ')
}
