// The words of the step of this name.

export const curves = {
  title: 'Curves',
}
