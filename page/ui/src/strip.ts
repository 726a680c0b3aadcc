// Where things lie on the strip of sliders, in millimetres, and what its keys
// do. The panel is drawn as it is drilled: each slot as long as its travel.

export interface Panel {
  pitch: number
  travel: number
  left: number // from the edge to the first slider, with room for what the rows are called
  right: number // from the last slider to the edge
  head: number // over the slots, for the bands' names
  foot: number
}

/** Until a job says how its panel is parted, sliders stand this far apart. */
export const usual: Panel = { pitch: 18, travel: 30, left: 24, right: 11, head: 13, foot: 7 }

export const widthOf = (p: Panel, count: number): number => p.left + p.pitch * Math.max(0, count - 1) + p.right
export const heightOf = (p: Panel): number => p.head + p.travel + p.foot
export const xOf = (p: Panel, i: number): number => p.left + p.pitch * i

/** The height of a place on the travel; boost is up. */
export const yOf = (p: Panel, position: number): number => p.head + (p.travel * (1 - position)) / 2

/** The place on the travel under a height, held within it. */
export function positionAt(p: Panel, y: number): number {
  return Math.min(1, Math.max(-1, 1 - (2 * (y - p.head)) / p.travel))
}

/** The marks of a scale that have room for a number: from the ends inwards, none
 * nearer than `room` mm to the one before it, nor to the middle. */
export function lettered<M extends { position: number }>(p: Panel, marks: readonly M[], room: number): M[] {
  const taken = [yOf(p, 0)]
  return [...marks]
    .sort((a, b) => Math.abs(b.position) - Math.abs(a.position))
    .filter((m) => {
      const y = yOf(p, m.position)
      if (taken.some((t) => Math.abs(t - y) < room)) return false
      taken.push(y)
      return true
    })
}

/** Near the middle the hand means the middle. */
export function caught(position: number): number {
  return Math.abs(position) < 0.025 ? 0 : position
}

/** Where a key takes a slider; null: not one of its keys. A step is a twentieth
 * of the travel, as the scale is printed. */
export function keyed(position: number, key: string, fine: boolean): number | null {
  const step = fine ? 0.02 : 0.1
  switch (key) {
    case 'ArrowUp':
    case 'ArrowRight':
      return onStep(position, step, 1)
    case 'ArrowDown':
    case 'ArrowLeft':
      return onStep(position, step, -1)
    case 'PageUp':
      return onStep(position, 0.5, 1)
    case 'PageDown':
      return onStep(position, 0.5, -1)
    case 'Home':
      return -1
    case 'End':
      return 1
    case '0':
    case 'Delete':
      return 0
  }
  return null
}

/** The next whole step in a direction. */
function onStep(position: number, step: number, way: 1 | -1): number {
  const at = position / step
  const next = way > 0 ? Math.floor(at + 1e-6) + 1 : Math.ceil(at - 1e-6) - 1
  const to = Math.round(next * step * 1000) / 1000
  return Math.min(1, Math.max(-1, to)) || 0
}
