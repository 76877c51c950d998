import { z } from 'zod'
import { ROLES } from './role.ts'

export const NAME_LENGTH_MAX = 80
export const PIN_LENGTH_MIN = 4
export const PIN_LENGTH_MAX = 12
export const PASSWORD_LENGTH_MIN = 8
export const SECRET_LENGTH_MAX = 200

/**
 * Control, format and unassigned characters, and line ends. Format characters hold the marks that turn the reading direction
 * (U+202E and its kin) and the invisible joiners, with which one name could be dressed up as another on the list.
 */
const UNSEEN = /[\p{Cc}\p{Cf}\p{Cn}\p{Co}\p{Cs}\p{Zl}\p{Zp}]/u

/** A person's name as it is printed on job cards: NFC, single spaces, at least one letter. */
export const PersonName = z
  .string({ error: 'enter a name' })
  .refine((name) => !UNSEEN.test(name), 'a name has no line ends or invisible characters')
  .transform((name) => name.normalize('NFC').trim().replace(/\s+/gu, ' '))
  .pipe(
    z
      .string()
      .min(1, 'enter a name')
      .max(NAME_LENGTH_MAX, `a name has at most ${NAME_LENGTH_MAX} characters`)
      .regex(/\p{L}/u, 'a name has at least one letter'),
  )

export function secretIsPin(secret: string): boolean {
  return /^\d+$/.test(secret) && secret.length <= PIN_LENGTH_MAX
}

/** `0000`, `1212`, `123123`, `aaaaaaaa`: a shorter run of characters over and over. */
function repeats(text: string): boolean {
  for (let run = 1; run <= text.length / 2; run++)
    if (text.length % run === 0 && text.slice(0, run).repeat(text.length / run) === text) return true
  return false
}

/** `1234`, `9876`, `7890`: every digit one up, or every digit one down, from the one before; 0 follows 9. */
function countsUpOrDown(pin: string): boolean {
  const steps = new Set([...pin].slice(1).map((digit, at) => (Number(digit) - Number(pin[at]) + 10) % 10))
  return steps.size === 1 && (steps.has(1) || steps.has(9))
}

/** First guesses of anybody at a keyboard; the list need not be long, because wrong tries are slowed down. */
const FIRST_GUESSES = /^(p[a@]ssw[o0]rd|qwerty|qwertz|azerty|letmein|welcome|iloveyou|changeme|secret)[\d!?.]*$/i

function secretFault(secret: string): string | null {
  if (/\p{Cc}/u.test(secret)) return 'a PIN or password has no line ends or control characters'
  if (secret.length > SECRET_LENGTH_MAX) return `a password has at most ${SECRET_LENGTH_MAX} characters`
  if (secretIsPin(secret)) {
    if (secret.length < PIN_LENGTH_MIN) return `a PIN has ${PIN_LENGTH_MIN} to ${PIN_LENGTH_MAX} digits`
    return repeats(secret) || countsUpOrDown(secret) ? 'that PIN is the first anybody would try' : null
  }
  if ([...secret].length < PASSWORD_LENGTH_MIN)
    return `use a PIN of ${PIN_LENGTH_MIN} to ${PIN_LENGTH_MAX} digits, or a password of at least ${PASSWORD_LENGTH_MIN} characters`
  return repeats(secret) || FIRST_GUESSES.test(secret) ? 'that password is the first anybody would try' : null
}

/** A new PIN (4 to 12 digits) or password (8 to 200 characters). */
export const NewSecret = z.string({ error: 'enter a PIN or password' }).superRefine((secret, context) => {
  const fault = secretFault(secret)
  if (fault) context.addIssue({ code: 'custom', message: fault })
})

const RoleName = z.enum(ROLES, { error: 'there is no such role' })
const CHOOSE = 'choose at least one role'

/** One ticked box of a form arrives as plain text, several as a list. */
export const RoleList = z
  .union([RoleName, z.array(RoleName)], { error: CHOOSE })
  .transform((roles) => ROLES.filter((role) => (Array.isArray(roles) ? roles.includes(role) : roles === role)))
  .refine((roles) => roles.length > 0, CHOOSE)

const PersonId = z.string({ error: 'choose a person' }).min(1, 'choose a person').max(80)

export const PersonCreateInput = z.object({ name: PersonName, secret: NewSecret, roles: RoleList })
export type PersonCreateInput = z.infer<typeof PersonCreateInput>

export const PersonRolesInput = z.object({ personId: PersonId, roles: RoleList })
export type PersonRolesInput = z.infer<typeof PersonRolesInput>

export const PersonSecretInput = z.object({ personId: PersonId, secret: NewSecret })
export type PersonSecretInput = z.infer<typeof PersonSecretInput>

export const PersonActiveInput = z.object({
  personId: PersonId,
  active: z.union([z.boolean(), z.enum(['on', 'off'])]).transform((active) => active === true || active === 'on'),
})
export type PersonActiveInput = z.infer<typeof PersonActiveInput>

/** Typed twice: nobody is there yet who could set a new one. */
export const FirstManagerInput = z
  .object({ name: PersonName, secret: NewSecret, secretAgain: z.string({ error: 'enter it a second time' }) })
  .refine((input) => input.secret === input.secretAgain, {
    path: ['secretAgain'],
    message: 'the second one is not the same as the first',
  })
export type FirstManagerInput = z.infer<typeof FirstManagerInput>

/** Signing in does not repeat the rules for a new secret: they may have changed since the person chose one. */
export const SignInInput = z.object({
  name: PersonName,
  secret: z
    .string({ error: 'enter your PIN or password' })
    .min(1, 'enter your PIN or password')
    .max(SECRET_LENGTH_MAX, `a password has at most ${SECRET_LENGTH_MAX} characters`),
  next: z.string().max(2000).optional(),
})
export type SignInInput = z.infer<typeof SignInInput>
