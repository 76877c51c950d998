/**
 * How a process that walks through much is started: one that brings a list in, and one that proves the whole ledger.
 * With a bound on its heap the process gives memory back early; 250,000 rows still fit. A small nursery and growth in small
 * steps cost a few seconds in a hundred thousand rows and save a hundred megabytes.
 */
export const LEAN_NODE_FLAGS = ['--max-old-space-size=1024', '--max-semi-space-size=4', '--optimize-for-size'] as const

/** The reckoning of all levels holds the past of every part at once, and makes many small things that die young. */
export const RECKONING_NODE_FLAGS = ['--max-old-space-size=850', '--max-semi-space-size=32'] as const
