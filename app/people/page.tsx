import type { Metadata } from 'next'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { Field, TickGroup } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { type PersonOnList, peopleList } from '@/lib/db/people.ts'
import { mayDo } from '@/lib/people/role.ts'
import { addPerson, setRoles, setSecret, switchPerson } from './actions.ts'
import { PersonForm } from './person-form.tsx'
import { ROLE_OPTIONS } from './role-options.tsx'

export const metadata: Metadata = { title: 'People' }

export default async function PeoplePage() {
  const me = await signedIn()
  const mayManage = mayDo(me.roles, 'people.manage')
  const people = await peopleList()
  return (
    <main className="page narrow" id="page">
      <PageHead up={paths.settings()} from="Settings" about="who may sign in, and what they may do" title="People" />
      <div className="stack loose">
        <ul className="plain-list stack">
          {people.map((person) => (
            <li className="sheet stack tight" key={person.personId}>
              <PersonHead person={person} />
              {mayManage ? <PersonChanges person={person} isMe={person.personId === me.personId} /> : null}
            </li>
          ))}
        </ul>
        {mayManage ? (
          <section className="sheet stack" aria-labelledby="add">
            <h2 id="add">Add a person</h2>
            <PersonForm kind="create" action={addPerson} formKey={freshKey()} submit="Add" keyboard="text" />
          </section>
        ) : (
          <p className="soft">A manager changes this list.</p>
        )}
      </div>
    </main>
  )
}

function stateOf(person: PersonOnList): string {
  if (!person.active) return '○ switched off'
  return person.canSignIn ? '● can sign in' : '○ kept for the record, has no PIN'
}

function PersonHead({ person }: { person: PersonOnList }) {
  const { name, roles } = person
  return (
    <>
      <div className="row spread">
        <h2>{name}</h2>
        <span>{stateOf(person)}</span>
      </div>
      <p className="soft">{roles.length > 0 ? roles.join(', ') : 'no roles: may read everything'}</p>
    </>
  )
}

function PersonChanges({ person, isMe }: { person: PersonOnList; isMe: boolean }) {
  const { personId, name, roles, active } = person
  return (
    <details>
      <summary className="button" aria-label={`Change ${name}`}>
        Change
      </summary>
      <div className="stack loose">
        <ActionForm
          action={setRoles}
          formKey={freshKey()}
          hidden={{ personId }}
          submit="Save roles"
          submitClassName="button"
          aria-label={`Roles of ${name}`}
        >
          <TickGroup name="roles" legend="Roles" options={ROLE_OPTIONS} ticked={roles} />
        </ActionForm>
        <ActionForm
          action={setSecret}
          formKey={freshKey()}
          hidden={{ personId }}
          submit="Set new PIN or password"
          submitClassName="button"
          aria-label={`New PIN for ${name}`}
        >
          <Field
            name="secret"
            type="password"
            autoComplete="new-password"
            label="New PIN or password"
            hint="4 to 12 digits, or at least 8 characters. Ends whatever the person has open."
          />
        </ActionForm>
        <ActionForm
          action={switchPerson}
          formKey={freshKey()}
          hidden={{ personId, active: active ? 'off' : 'on' }}
          submit={active ? `Switch ${isMe ? 'yourself' : name} off` : `Switch ${name} on`}
          submitClassName="button"
          aria-label={`Switch ${name} on or off`}
        >
          <p className="small soft">
            Switched off, nobody can sign in under this name. What was done under it stays in the books.
          </p>
        </ActionForm>
      </div>
    </details>
  )
}
