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

export interface Taken {
  id?: string // absent: a new one
  value: number
  place?: string
}

export interface Reached {
  wanted: number
  at: number
}

export interface ChosenBand {
  band: string
  coil: Taken
  capacitors: readonly Taken[]
  in_series?: boolean
  resistor: Taken
  centre: Reached
  boost: Reached
  q?: Reached
  error: number
  chance?: number
}

/** One line of the pick list. */
export interface Pick {
  place?: string
  id?: string // absent: from no drawer
  kind: PartKind
  marked: number
  tolerance?: string | null
  count: number
  bands: readonly string[] | null
}

export interface ChooseAnswer {
  drawer: string
  meter: string
  limits: { centre: number; boost: number; q?: number }
  bands: readonly ChosenBand[]
  error: number
  bound: number
  gap: number
  proven: boolean // of the whole circuit
  settled: boolean
  solved: number
  chance: { share: number; se: number; draws: number } | null
  seed: number
  picked: { list: readonly Pick[] | null }
}

/** What is asked of the drawer, as the command's flags have it. */
export interface ChooseQuestion {
  fixed: readonly string[] // "63: bag 1"
  barred: readonly string[]
  limit_centre: string
  limit_boost: string
  one_capacitor: boolean
  new_ohms: string
}
