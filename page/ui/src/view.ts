// Reading the job as the server shows it: keys as in the file, values as texts
// the way the bench writes them. What is not there is blank.

import type { JobView } from './types'

type Table = Readonly<Record<string, unknown>>

const isTable = (v: unknown): v is Table => typeof v === 'object' && v !== null && !Array.isArray(v)

/** The text at a path of keys; '' where there is none. */
export function textAt(from: JobView | Table | null, ...path: readonly string[]): string {
  let here: unknown = from
  for (const key of path) here = isTable(here) ? here[key] : undefined
  if (typeof here === 'string') return here
  return typeof here === 'number' || typeof here === 'boolean' ? String(here) : ''
}

/** The tables of a list, in the file's order. */
export function tablesAt(from: JobView | Table | null, ...path: readonly string[]): readonly Table[] {
  let here: unknown = from
  for (const key of path) here = isTable(here) ? here[key] : undefined
  return Array.isArray(here) ? here.filter(isTable) : []
}

/** The texts of a list. */
export function textsAt(from: JobView | Table | null, ...path: readonly string[]): readonly string[] {
  let here: unknown = from
  for (const key of path) here = isTable(here) ? here[key] : undefined
  return Array.isArray(here) ? here.map(String) : []
}
