// The words of the step of this name.

export const ticket = {
  title: 'Job ticket',
}
