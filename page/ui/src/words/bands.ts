// The words of the step of this name.

export const bands = {
  title: 'Bands',
}
