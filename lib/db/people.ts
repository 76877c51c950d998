import { z } from 'zod'
import { nameKey } from '../catalogue/part-number.ts'
import { ROLES, type Role, roleIs } from '../people/role.ts'
import type {
  FirstManagerInput,
  PersonActiveInput,
  PersonCreateInput,
  PersonRolesInput,
  PersonSecretInput,
} from '../people/schema.ts'
import { secretHash, secretIsUsable } from '../people/secret.ts'
import { Refusal } from '../refusal.ts'
import { database, type Tx } from './client.ts'
import { type WriteContext, write } from './transaction.ts'

/** Fresh bytes that nobody can foresee; handed in so that nothing below decides where chance comes from. */
export type RandomBytes = (count: number) => Uint8Array

const SALT_BYTES = 16
const ID_BYTES = 12

export interface PersonOnList {
  personId: string
  name: string
  roles: Role[]
  active: boolean
  /** False for people kept only for the record: they have no PIN or password. */
  canSignIn: boolean
}

/** Roles as the table orders them; a word the program does not know gives no right. */
export function rolesRead(rows: readonly { role: string }[]): Role[] {
  const held = new Set(rows.map((row) => row.role).filter(roleIs))
  return ROLES.filter((role) => held.has(role))
}

const newPersonId = (random: RandomBytes) => `person-${Buffer.from(random(ID_BYTES)).toString('hex')}`

async function personFind(tx: Tx, personId: string) {
  const person = await tx.person.findUnique({ where: { id: personId }, include: { roles: true } })
  if (!person) throw new Refusal('people/no-such')
  return person
}

async function personInsert(tx: Tx, now: Date, person: { id: string; name: string; secret: string; roles: Role[] }) {
  const key = nameKey(person.name)
  if (await tx.person.findUnique({ where: { nameKey: key }, select: { id: true } }))
    throw new Refusal('people/name-taken', { name: person.name }, { fields: { name: 'this name is on the list' } })
  await tx.person.create({
    data: {
      id: person.id,
      name: person.name,
      nameKey: key,
      secretHash: person.secret,
      createdAt: now,
      roles: { create: person.roles.map((role) => ({ role })) },
    },
  })
}

/** The workshop must not lose the last person who can let others in. */
async function mustLeaveManager(tx: Tx, person: { id: string; name: string }): Promise<void> {
  const others = await tx.person.findMany({
    where: { active: true, id: { not: person.id }, roles: { some: { role: 'manager' } } },
    select: { secretHash: true },
  })
  if (!someCanSignIn(others)) throw new Refusal('people/last-manager', { name: person.name })
}

/**
 * Puts a person on the list. The PIN is not part of what the idempotency key vouches for: that record is a quick hash, from
 * which four digits could be read back.
 */
export async function personCreate(
  context: WriteContext,
  input: PersonCreateInput,
  random: RandomBytes,
): Promise<{ personId: string; name: string }> {
  const secret = await secretHash(input.secret, random(SALT_BYTES))
  const id = newPersonId(random)
  const { name, roles } = input
  return write(context, 'people.create', { name, roles }, async (tx) => {
    await personInsert(tx, context.now, { id, name, roles, secret })
    return { personId: id, name }
  })
}

/** Replaces all roles of a person. They hold from the person's next click. */
export function personSetRoles(context: WriteContext, input: PersonRolesInput): Promise<{ name: string }> {
  return write(context, 'people.roles', input, async (tx) => {
    const person = await personFind(tx, input.personId)
    if (person.active && !input.roles.includes('manager') && person.roles.some(({ role }) => role === 'manager'))
      await mustLeaveManager(tx, person)
    await tx.personRole.deleteMany({ where: { personId: person.id } })
    await tx.personRole.createMany({ data: input.roles.map((role) => ({ personId: person.id, role })) })
    return { name: person.name }
  })
}

/** Gives a new PIN or password, forgets the wrong tries, and ends what was signed in with the old one. */
export async function personSetSecret(
  context: WriteContext,
  input: PersonSecretInput,
  random: RandomBytes,
): Promise<{ name: string }> {
  const secret = await secretHash(input.secret, random(SALT_BYTES))
  return write(context, 'people.secret', { personId: input.personId }, async (tx) => {
    const person = await personFind(tx, input.personId)
    await tx.person.update({ where: { id: person.id }, data: { secretHash: secret } })
    await tx.session.deleteMany({ where: { personId: person.id } })
    await tx.signInTry.deleteMany({ where: { id: signInTryOfName(person.nameKey) } })
    return { name: person.name }
  })
}

/** Switches a person on or off. Off ends every session at once; what the person did stays on record. */
export function personActive(context: WriteContext, input: PersonActiveInput): Promise<{ name: string }> {
  return write(context, 'people.active', input, async (tx) => {
    const person = await personFind(tx, input.personId)
    if (!input.active && person.active && person.roles.some(({ role }) => role === 'manager'))
      await mustLeaveManager(tx, person)
    await tx.person.update({ where: { id: person.id }, data: { active: input.active } })
    if (!input.active) await tx.session.deleteMany({ where: { personId: person.id } })
    return { name: person.name }
  })
}

/**
 * Makes the first manager of a workshop in which nobody can sign in yet. Of two who try at once, one is made; the check and
 * the insert are one transaction, and a second writer waits for the first.
 */
export async function firstManagerCreate(
  context: Omit<WriteContext, 'personId'>,
  input: FirstManagerInput,
  random: RandomBytes,
): Promise<{ personId: string }> {
  const secret = await secretHash(input.secret, random(SALT_BYTES))
  const id = newPersonId(random)
  return write({ ...context, personId: id }, 'people.first-manager', { name: input.name }, async (tx) => {
    if (someCanSignIn(await tx.person.findMany(ACTIVE_SECRETS))) throw new Refusal('people/already-set-up')
    await personInsert(tx, context.now, { id, name: input.name, roles: ['manager'], secret })
    return { personId: id }
  })
}

const ACTIVE_SECRETS = { where: { active: true }, select: { secretHash: true } } as const

const someCanSignIn = (people: { secretHash: string }[]) => people.some((person) => secretIsUsable(person.secretHash))

/** True as soon as somebody can sign in. */
export async function peopleAnybody(): Promise<boolean> {
  return someCanSignIn(await database().person.findMany(ACTIVE_SECRETS))
}

export async function peopleList(): Promise<PersonOnList[]> {
  const people = await database().person.findMany({ include: { roles: true }, orderBy: { nameKey: 'asc' } })
  return people.map((person) => ({
    personId: person.id,
    name: person.name,
    roles: rolesRead(person.roles),
    active: person.active,
    canSignIn: secretIsUsable(person.secretHash),
  }))
}

/** Names to choose from when signing in. */
export async function peopleToSignIn(): Promise<string[]> {
  return (await peopleList()).filter((person) => person.active && person.canSignIn).map((person) => person.name)
}

/** The row of wrong tries for a name; by its key, so that `JO` and `jo` are one. */
export function signInTryOfName(key: string): string {
  return `name:${key}`
}

const DemoSignIn = z.array(z.object({ name: z.string(), secret: z.string(), roles: z.array(z.string()) }))
export type DemoSignIn = z.infer<typeof DemoSignIn>

/** Who can sign in with which PIN: only in the demo, where the sign-in screen says so. */
export async function demoSignIn(): Promise<DemoSignIn | null> {
  const rows = await database().setting.findMany({ where: { name: { in: ['demo', 'demo-sign-in'] } } })
  const setting = new Map(rows.map((row) => [row.name, row.value]))
  const people = setting.get('demo-sign-in')
  return setting.get('demo') === 'true' && people ? DemoSignIn.parse(JSON.parse(people)) : null
}
