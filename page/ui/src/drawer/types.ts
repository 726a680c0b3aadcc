// What the drawer and choose questions give; base units throughout.

export type PartKind = 'coil' | 'capacitor' | 'resistor'

export interface DrawerReading {
  value?: number
  hertz?: number
  mode?: string
  q?: number
  d?: number
  dcr?: number
  level?: number
  celsius?: number
  meter?: string
}

export interface DrawerPart {
  id: string
  kind: PartKind
  marked?: number
  tolerance?: string
  readings?: readonly DrawerReading[]
  self_farads?: number
  self_resonance?: number
  count: number
  place?: string
  price?: string
  notes?: string
}

export interface Column {
  number?: number
  title?: string
  holds: string
  by?: string
  kind?: string
  unit?: string
  mode?: string
  hertz?: number
}

export interface Mapping {
  separator?: string
  decimal?: string
  kind?: string
  no_titles?: boolean
  columns?: readonly Column[]
}

export interface DrawerAnswer {
  file: string
  mapping: Mapping
  missing: readonly string[] | null
  encoding: string
  counts: { above: number; rows: number; parts: number; further: number; repeated: number; bad: number; blank: number; comments: number }
  parts: readonly DrawerPart[] | null
}
