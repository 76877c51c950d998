/**
 * An idempotency key, made once for one press of a button; runs on the server and in the browser. `randomUUID` is missing where
 * the workshop is reached over plain http on the local network, `getRandomValues` is there.
 */
export function freshKey(): string {
  const { crypto } = globalThis
  if (typeof crypto.randomUUID === 'function') return crypto.randomUUID()
  return Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, '0')).join('')
}
