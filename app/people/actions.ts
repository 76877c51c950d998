'use server'

import { action } from '@/app/_server/action.ts'
import { freshBytes } from '@/app/_server/chance.ts'
import { personActive, personCreate, personSetRoles, personSetSecret } from '@/lib/db/people.ts'
import { PersonActiveInput, PersonCreateInput, PersonRolesInput, PersonSecretInput } from '@/lib/people/schema.ts'

export const addPerson = action({
  right: 'people.manage',
  schema: PersonCreateInput,
  run: (context, input) => personCreate(context, input, freshBytes),
  then: ({ name }) => ({ says: `${name} is on the list and can sign in.` }),
})

export const setRoles = action({
  right: 'people.manage',
  schema: PersonRolesInput,
  run: personSetRoles,
  then: ({ name }) => ({ says: `The roles of ${name} are changed.` }),
})

export const setSecret = action({
  right: 'people.manage',
  schema: PersonSecretInput,
  run: (context, input) => personSetSecret(context, input, freshBytes),
  then: ({ name }) => ({ says: `${name} has a new PIN or password and must sign in again everywhere.` }),
})

export const switchPerson = action({
  right: 'people.manage',
  schema: PersonActiveInput,
  run: personActive,
  then: ({ name }, { active }) => ({
    says: active ? `${name} can sign in again.` : `${name} is switched off and signed out everywhere.`,
  }),
})
