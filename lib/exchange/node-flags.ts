/**
 * How a process that brings a list in is started, from the screens and from the command line.
 * With a bound on its heap the process gives memory back early; 250,000 rows still fit. A small nursery and growth in small
 * steps cost a few seconds in a hundred thousand rows and save a hundred megabytes.
 */
export const EXCHANGE_NODE_FLAGS = [
  '--max-old-space-size=1024',
  '--max-semi-space-size=4',
  '--optimize-for-size',
] as const
