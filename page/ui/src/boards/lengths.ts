// Which lengths a sheet has, by their keys in the job.

export type Sheet = 'panel' | 'tab'

/** Without these there is no sheet. */
export const needed: Readonly<Record<Sheet, readonly string[]>> = {
  panel: ['width', 'height', 'thickness', 'first', 'pitch', 'down', 'lever', 'slot_width'],
  tab: ['metal', 'thickness', 'housing.width', 'housing.depth', 'height', 'tongue.width', 'tongue.beyond', 'chassis'],
}

export const optional: Readonly<Record<Sheet, readonly string[]>> = {
  panel: ['margin', 'bridge', 'screws', 'screw_hole', 'scale_step', 'letters', 'unit', 'lever_stands', 'knob'],
  tab: ['radius', 'overlap', 'tongue.held', 'housing.corner', 'slot_width', 'slot_length', 'slot_pitch'],
}
