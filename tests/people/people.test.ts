import { beforeEach, describe, expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import {
  demoSignIn,
  firstManagerCreate,
  peopleAnybody,
  peopleList,
  peopleToSignIn,
  personActive,
  personCreate,
  personSetRoles,
  personSetSecret,
} from '../../lib/db/people.ts'
import { sessionRead, signIn } from '../../lib/db/session.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import type { Role } from '../../lib/people/role.ts'
import { aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { seededBytes } from './seeded-bytes.ts'

useWorkshop()

const random = seededBytes('people')
const NOW = new Date('2026-11-02T08:15:00Z')
let keys = 0
const firstKey = () => {
  keys += 1
  return `first-manager-${keys}`
}

beforeEach(() =>
  inTransaction(async (tx) => {
    await tx.session.deleteMany()
    await tx.signInTry.deleteMany()
    await tx.setting.deleteMany()
    await tx.person.deleteMany()
  }),
)

const firstManager = (name = 'Bram Oakes', key = firstKey()) =>
  firstManagerCreate({ key, now: NOW }, { name, secret: '2580', secretAgain: '2580' }, random)

const put = (name: string, roles: Role[], secret = '7391') =>
  personCreate(asWriter('somebody'), { name, secret, roles }, random)

const enter = (name: string, secret: string) => signIn({ name, secret, address: '192.0.2.7' }, NOW, random)

describe('the first manager', () => {
  test('is made when nobody can sign in, and can then sign in', async () => {
    expect(await peopleAnybody()).toBe(false)
    await firstManager()
    expect(await peopleAnybody()).toBe(true)
    expect(await sessionRead(await enter('Bram Oakes', '2580'), NOW)).toMatchObject({
      name: 'Bram Oakes',
      roles: ['manager'],
    })
  })

  test('is made although people stand on record who never signed in', async () => {
    await aPerson('Old Hand')
    expect(await peopleAnybody()).toBe(false)
    await firstManager()
    expect(await peopleToSignIn()).toEqual(['Bram Oakes'])
  })

  test('is made once: of two who try at the same time one hears that it is set up', async () => {
    const both = await Promise.allSettled([firstManager('Bram Oakes'), firstManager('Ida Marsh')])
    expect(both.filter((one) => one.status === 'fulfilled')).toHaveLength(1)
    expect(both.find((one) => one.status === 'rejected')?.reason).toMatchObject({ code: 'people/already-set-up' })
    expect(await peopleList()).toHaveLength(1)
  })

  test('sent twice with one key is one manager and no refusal', async () => {
    const key = firstKey()
    const both = await Promise.all([firstManager('Bram Oakes', key), firstManager('Bram Oakes', key)])
    expect(both[0]).toEqual(both[1])
  })

  test('is refused as soon as anybody can sign in', async () => {
    await firstManager()
    await expect(firstManager('Ida Marsh')).rejects.toMatchObject({ code: 'people/already-set-up', status: 409 })
  })
})

describe('a person', () => {
  test('is put on the list with the roles chosen', async () => {
    await put('Ida Marsh', ['mechanic', 'storekeeper'])
    expect(await peopleList()).toMatchObject([
      { name: 'Ida Marsh', roles: ['mechanic', 'storekeeper'], active: true, canSignIn: true },
    ])
  })

  test('cannot have a name that differs from another only in case, marks or spacing', async () => {
    await put('Zoë Hartwell', ['buyer'])
    await expect(put('zoe  HARTWELL', ['buyer'])).rejects.toMatchObject({
      code: 'people/name-taken',
      fields: { name: 'this name is on the list' },
    })
  })

  test('sent twice with one key is put on the list once', async () => {
    const context = asWriter('somebody')
    const input = { name: 'Ida Marsh', secret: '7391', roles: ['mechanic' as const] }
    const first = await personCreate(context, input, random)
    expect(await personCreate(context, input, random)).toEqual(first)
    expect(await peopleList()).toHaveLength(1)
  })

  test('leaves no trace of the PIN in the record of writes', async () => {
    const context = asWriter('somebody')
    await personCreate(context, { name: 'Ida Marsh', secret: '739164', roles: ['mechanic'] }, random)
    const row = await database().write.findUniqueOrThrow({ where: { key: context.key } })
    const same = asWriter('somebody')
    await inTransaction((tx) => tx.person.deleteMany())
    await personCreate(same, { name: 'Ida Marsh', secret: '580271', roles: ['mechanic'] }, random)
    const other = await database().write.findUniqueOrThrow({ where: { key: same.key } })
    expect(other.contentHash).toBe(row.contentHash)
    expect(JSON.stringify(row)).not.toContain('739164')
  })

  test('with changed roles has them from the next click on', async () => {
    await firstManager()
    const { personId } = await put('Ida Marsh', ['mechanic'])
    const token = await enter('Ida Marsh', '7391')
    await personSetRoles(asWriter('somebody'), { personId, roles: ['buyer'] })
    expect((await sessionRead(token, NOW))?.roles).toEqual(['buyer'])
  })

  test('with a new PIN must sign in again, and the old one no longer opens anything', async () => {
    const { personId } = await put('Ida Marsh', ['mechanic'])
    const token = await enter('Ida Marsh', '7391')
    await personSetSecret(asWriter('somebody'), { personId, secret: '480615' }, random)
    expect(await sessionRead(token, NOW)).toBeNull()
    await expect(enter('Ida Marsh', '7391')).rejects.toMatchObject({ code: 'people/wrong-secret' })
    await enter('Ida Marsh', '480615')
  })

  test('switched off is signed out at once, cannot sign in, and stays on the list', async () => {
    await firstManager()
    const { personId } = await put('Ida Marsh', ['mechanic'])
    const token = await enter('Ida Marsh', '7391')
    await personActive(asWriter('somebody'), { personId, active: false })
    expect(await sessionRead(token, NOW)).toBeNull()
    await expect(enter('Ida Marsh', '7391')).rejects.toMatchObject({ code: 'people/wrong-secret' })
    expect((await peopleList()).map((person) => [person.name, person.active])).toEqual([
      ['Bram Oakes', true],
      ['Ida Marsh', false],
    ])
    expect(await peopleToSignIn()).toEqual(['Bram Oakes'])
  })

  test('switched on again signs in with the PIN from before', async () => {
    const { personId } = await put('Ida Marsh', ['mechanic'])
    await personActive(asWriter('somebody'), { personId, active: false })
    await personActive(asWriter('somebody'), { personId, active: true })
    await enter('Ida Marsh', '7391')
  })

  test('nobody has heard of is no-such', async () => {
    const gone = { personId: 'person-gone' }
    for (const change of [
      () => personSetRoles(asWriter('somebody'), { ...gone, roles: ['buyer'] }),
      () => personActive(asWriter('somebody'), { ...gone, active: false }),
      () => personSetSecret(asWriter('somebody'), { ...gone, secret: '7391' }, random),
    ])
      await expect(change()).rejects.toMatchObject({ code: 'people/no-such', status: 404 })
  })
})

describe('the last manager', () => {
  test('cannot be switched off nor lose the role', async () => {
    const { personId } = await firstManager()
    await put('Ida Marsh', ['mechanic'])
    const refusal = { code: 'people/last-manager', happened: 'Bram Oakes is the last manager.' }
    await expect(personActive(asWriter('somebody'), { personId, active: false })).rejects.toMatchObject(refusal)
    await expect(personSetRoles(asWriter('somebody'), { personId, roles: ['buyer'] })).rejects.toMatchObject(refusal)
    expect((await peopleList())[0]).toMatchObject({ active: true, roles: ['manager'] })
  })

  test('is not relieved by a manager who is switched off or has no PIN', async () => {
    const { personId } = await firstManager()
    const off = await put('Ida Marsh', ['manager'])
    await personActive(asWriter('somebody'), { personId: off.personId, active: false })
    const record = await aPerson('Old Hand')
    await inTransaction((tx) => tx.personRole.create({ data: { personId: record, role: 'manager' } }))
    await expect(personActive(asWriter('somebody'), { personId, active: false })).rejects.toMatchObject({
      code: 'people/last-manager',
    })
  })

  test('may go when there is another', async () => {
    const { personId } = await firstManager()
    await put('Ida Marsh', ['manager'])
    await personActive(asWriter('somebody'), { personId, active: false })
    expect(await peopleToSignIn()).toEqual(['Ida Marsh'])
  })

  test('stays when two managers switch each other off at the same time', async () => {
    const bram = await firstManager()
    const ida = await put('Ida Marsh', ['manager'])
    const both = await Promise.allSettled([
      personActive(asWriter(bram.personId), { personId: ida.personId, active: false }),
      personActive(asWriter(ida.personId), { personId: bram.personId, active: false }),
    ])
    expect(both.filter((one) => one.status === 'fulfilled')).toHaveLength(1)
    expect(await peopleToSignIn()).toHaveLength(1)
  })
})

describe('the PINs of the demo', () => {
  const people = [{ name: 'Ida Marsh', secret: '7391', roles: ['mechanic'] }]
  const set = (name: string, value: string) =>
    inTransaction((tx) => tx.setting.upsert({ where: { name }, create: { name, value }, update: { value } }))

  test('are told in the demo', async () => {
    await set('demo', 'true')
    await set('demo-sign-in', JSON.stringify(people))
    expect(await demoSignIn()).toEqual(people)
  })

  test('are told nowhere else, even when the list was left behind', async () => {
    await set('demo-sign-in', JSON.stringify(people))
    expect(await demoSignIn()).toBeNull()
    await set('demo', 'false')
    expect(await demoSignIn()).toBeNull()
  })
})
