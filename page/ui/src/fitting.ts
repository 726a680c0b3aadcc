// Where the work stands on the fitting list.

export interface FittingStep {
  do: string
  done: string // date or initials; blank is not done
  note: string
}

export interface Whereabouts {
  done: number
  total: number
  next: number | null // the step to go on with; null: all done, or no list
  last: number | null // the farthest step that is done
  passedOver: readonly number[] // not done, though a later one is
}

/**
 * An interrupted job shows where one was: the next step is the first blank one
 * after the farthest that is done; blanks before it were passed over and come
 * back once the end is reached.
 */
export function whereabouts(steps: readonly FittingStep[]): Whereabouts {
  const blank = steps.flatMap((s, i) => (s.done.trim() === '' ? [i] : []))
  const last = steps.reduce<number | null>((far, s, i) => (s.done.trim() === '' ? far : i), null)
  const passedOver = last === null ? [] : blank.filter((i) => i < last)
  const next = blank.find((i) => last === null || i > last) ?? passedOver[0] ?? null
  return { done: steps.length - blank.length, total: steps.length, next, last, passedOver }
}

/** Marks a note with where and when the work was stopped; the rest stays. */
export function stopped(note: string, mark: string, what: string): string {
  const line = what.trim() === '' ? mark : `${mark}: ${what.trim()}`
  return note.trim() === '' ? line : `${note.trim()}; ${line}`
}

/** The day as the job writes it. */
export const dayOf = (when: Date): string =>
  [when.getFullYear(), when.getMonth() + 1, when.getDate()].map((n) => String(n).padStart(2, '0')).join('-')
