// The words of showing the page at the bench.

export const listen = {
  title: 'At the bench',
  lead: 'A phone or tablet on the same network can show this job where the work is.',
  show: 'Show at the bench',
  opening: 'opening',
  who: 'From now until it is stopped, whoever is on this network and has this address, or photographs the square, sees and changes every job of this folder. What goes over the network is not enciphered: use a network of your own.',
  address: 'Open this on the phone',
  others: 'The same by this machine’s other addresses',
  code: 'The address as a square code, to be photographed with the phone',
  stop: 'Stop showing',
  stopped: 'Shown on this machine alone.',
}
