/** Makers and machine models of the demo estate. All invented, and so is each maker's style of part number. */
export const MAKERS = {
  harrowbeck: { name: 'Harrowbeck', partNumberStyle: 'HB-20417' },
  stourleigh: { name: 'Stourleigh', partNumberStyle: 'ST40.172' },
  ferncombe: { name: 'Ferncombe', partNumberStyle: 'F0417-22' },
  dunmarrow: { name: 'Dunmarrow', partNumberStyle: 'DM60231' },
  overslade: { name: 'Overslade', partNumberStyle: '630-11-204' },
  quernford: { name: 'Quernford', partNumberStyle: 'QP-1180' },
  brackthorn: { name: 'Brackthorn', partNumberStyle: 'BT.7.1104' },
} as const

export const MODELS = {
  tractor74: { maker: 'Harrowbeck', name: '74N', kind: 'narrow orchard tractor' },
  tractor92: { maker: 'Harrowbeck', name: '92N', kind: 'narrow orchard tractor' },
  mower: { maker: 'Stourleigh', name: 'FM 180', kind: 'flail mower' },
  sprayer: { maker: 'Ferncombe', name: 'AB 1000', kind: 'air-blast sprayer' },
  trailer: { maker: 'Dunmarrow', name: 'T6', kind: 'tipping trailer' },
  telehandler: { maker: 'Overslade', name: '630', kind: 'telehandler' },
  pumpSet: { maker: 'Quernford', name: 'P80', kind: 'irrigation pump set' },
  shredder: { maker: 'Brackthorn', name: 'PS 150', kind: 'prunings shredder' },
} as const satisfies Record<string, { maker: string; name: string; kind: string }>
