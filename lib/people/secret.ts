import { scrypt, timingSafeEqual } from 'node:crypto'
import { turnstile } from './turnstile.ts'

/**
 * PINs and passwords are kept as scrypt (RFC 7914) in a string that says how it was made: `scrypt$N$r$p$salt$hash`, base64url.
 * One takes 32 MiB and about a tenth of a second, so it never runs inside a transaction, and few run at once.
 */
const COST = { N: 2 ** 15, r: 8, p: 1 }
const HASH_BYTES = 32
const MEMORY_MAX = 64 * 1024 * 1024
const SALT_BYTES_MIN = 16

/** Two of the four threads of the runtime's pool: reading files and the database go on meanwhile. */
const pass = turnstile(2, 256)

interface Kept {
  N: number
  r: number
  p: number
  salt: Buffer
  hash: Buffer
}

/** Code points that look the same are the same secret on every keyboard (NIST SP 800-63B asks for NFKC or NFKD). */
function secretBytes(secret: string): Buffer {
  return Buffer.from(secret.normalize('NFKC'), 'utf8')
}

function derive(secret: string, { N, r, p, salt }: Omit<Kept, 'hash'>, bytes: number): Promise<Buffer> {
  return pass(
    () =>
      new Promise((resolve, reject) => {
        scrypt(secretBytes(secret), salt, bytes, { N, r, p, maxmem: MEMORY_MAX }, (error, key) =>
          error ? reject(error) : resolve(key),
        )
      }),
  )
}

function keptRead(text: string): Kept | null {
  const parts = /^scrypt\$(\d{1,7})\$(\d{1,2})\$(\d{1,2})\$([\w-]*)\$([\w-]+)$/.exec(text)
  if (!parts) return null
  const [N, r, p] = [Number(parts[1]), Number(parts[2]), Number(parts[3])]
  const [salt, hash] = [Buffer.from(parts[4] ?? '', 'base64url'), Buffer.from(parts[5] ?? '', 'base64url')]
  const usable = N > 1 && Number.isInteger(Math.log2(N)) && r > 0 && p > 0 && 128 * N * r < MEMORY_MAX
  return usable && hash.length >= 16 && hash.length <= 64 ? { N, r, p, salt, hash } : null
}

/** What to keep of a secret. `salt`: at least 16 random bytes, new for every secret. */
export async function secretHash(secret: string, salt: Uint8Array): Promise<string> {
  if (salt.length < SALT_BYTES_MIN) throw new Error(`secretHash: the salt has ${salt.length} bytes, at least 16 needed`)
  const kept = { ...COST, salt: Buffer.from(salt) }
  const hash = await derive(secret, kept, HASH_BYTES)
  return `scrypt$${COST.N}$${COST.r}$${COST.p}$${kept.salt.toString('base64url')}$${hash.toString('base64url')}`
}

/** True for strings with which somebody can sign in; people kept only for the record have none. */
export function secretIsUsable(kept: string): boolean {
  return keptRead(kept) !== null
}

const NOBODY = `scrypt$${COST.N}$${COST.r}$${COST.p}$${Buffer.alloc(16, 7).toString('base64url')}$${Buffer.alloc(HASH_BYTES, 7).toString('base64url')}`

/**
 * Whether `secret` is the one kept. With `null` (nobody of that name) or an unusable string the same work is done and the
 * answer is no: the time an answer takes must not tell who works here.
 */
export async function secretMatches(secret: string, kept: string | null): Promise<boolean> {
  const usable = kept === null ? null : keptRead(kept)
  const against = usable ?? keptRead(NOBODY)
  if (!against) throw new Error('secretMatches: the stand-in cannot be read')
  const hash = await derive(secret, against, against.hash.length)
  return timingSafeEqual(hash, against.hash) && usable !== null
}
