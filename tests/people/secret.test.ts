import { describe, expect, test } from 'vitest'
import { secretHash, secretIsUsable, secretMatches } from '../../lib/people/secret.ts'

const salt = (fill: number) => new Uint8Array(16).fill(fill)
const base64url = (bytes: string, encoding: 'utf8' | 'hex') => Buffer.from(bytes, encoding).toString('base64url')

/** RFC 7914, section 12: test vectors for scrypt. The fourth (N = 1048576) needs 1 GiB and is left out on purpose. */
const RFC_7914 = [
  {
    secret: '',
    salt: '',
    N: 16,
    r: 1,
    p: 1,
    hash: '77d6576238657b203b19ca42c18a0497f16b4844e3074ae8dfdffa3fede21442fcd0069ded0948f8326a753a0fc81f17e8d3e0fb2e0d3628cf35e20c38d18906',
  },
  {
    secret: 'password',
    salt: 'NaCl',
    N: 1024,
    r: 8,
    p: 16,
    hash: 'fdbabe1c9d3472007856e7190d01e9fe7c6ad7cbc8237830e77376634b3731622eaf30d92e22a3886ff109279d9830dac727afb94a83ee6d8360cbdfa2cc0640',
  },
  {
    secret: 'pleaseletmein',
    salt: 'SodiumChloride',
    N: 16384,
    r: 8,
    p: 1,
    hash: '7023bdcb3afd7348461c06cd81fd38ebfda8fbba904f8e3ea9b543f6545da1f2d5432955613f0fcf62d49705242a9af9e61e85dc0d651e40dfcf017b45575887',
  },
]

describe.each(RFC_7914)('the vector of RFC 7914 with N=$N, r=$r, p=$p', ({ secret, salt: salty, N, r, p, hash }) => {
  const kept = (hex: string) => `scrypt$${N}$${r}$${p}$${base64url(salty, 'utf8')}$${base64url(hex, 'hex')}`
  test('is recognised', async () => {
    expect(await secretMatches(secret, kept(hash))).toBe(true)
  })
  test('is not recognised with one bit changed', async () => {
    const last = Number.parseInt(hash.slice(-2), 16) ^ 1
    const changed = hash.slice(0, -2) + last.toString(16).padStart(2, '0')
    expect(await secretMatches(secret, kept(changed))).toBe(false)
  })
})

test('a secret that was kept is recognised, another is not', async () => {
  const kept = await secretHash('2580', salt(1))
  expect(await secretMatches('2580', kept)).toBe(true)
  expect(await secretMatches('2581', kept)).toBe(false)
  expect(await secretMatches('', kept)).toBe(false)
})

test('what is kept says how it was made and does not hold the secret', async () => {
  const kept = await secretHash('cider-press-74', salt(2))
  // N = 2^15, r = 8, p = 1: 32 MiB a try.
  expect(kept).toMatch(/^scrypt\$32768\$8\$1\$[\w-]{22}\$[\w-]{43}$/)
  expect(kept).not.toContain('cider')
})

test('the same secret with another salt is kept as something else', async () => {
  expect(await secretHash('2580', salt(3))).not.toBe(await secretHash('2580', salt(4)))
})

test('a salt of 15 bytes is refused', async () => {
  await expect(secretHash('2580', new Uint8Array(15))).rejects.toThrow('15 bytes')
})

test('a password typed on a keyboard that sends letters in two pieces is the same password', async () => {
  const kept = await secretHash('M\u00f6hre-und-Most', salt(5))
  expect(await secretMatches('Mo\u0308hre-und-Most', kept)).toBe(true)
})

test.each(['', 'none', 'scrypt$3$8$1$AAAA$AAAAAAAAAAAAAAAAAAAAAAAA', 'scrypt$9999999$8$1$AAAA$AAAA', 'plain:2580'])(
  'nobody signs in with what is kept as "%s"',
  async (kept) => {
    expect(secretIsUsable(kept)).toBe(false)
    expect(await secretMatches('2580', kept)).toBe(false)
  },
)

test('a name nobody has costs the same work as a wrong PIN', async () => {
  const kept = await secretHash('2580', salt(6))
  // Processor time of this process, its threads included: what else the machine does at the time does not count.
  const took = async (run: () => Promise<boolean>) => {
    const before = process.cpuUsage()
    for (let round = 0; round < 5; round++) expect(await run()).toBe(false)
    const { user, system } = process.cpuUsage(before)
    return user + system
  }
  const wrong = await took(() => secretMatches('2581', kept))
  const nobody = await took(() => secretMatches('2581', null))
  // Without the stand-in they differ by a factor of a thousand.
  expect(nobody).toBeGreaterThan(wrong / 4)
  expect(nobody).toBeLessThan(wrong * 4)
})
