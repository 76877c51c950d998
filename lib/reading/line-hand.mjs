/** Starts line-hand.ts in a thread: threads do not take over that the process runs TypeScript. */
import { register } from 'tsx/esm/api'

register()
await import('./line-hand.ts')
