import type { Metadata } from 'next'
import { redirect } from 'next/navigation'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { localPath } from '@/app/_server/local-path.ts'
import { person } from '@/app/_server/signed-in.ts'
import { type DemoSignIn, demoSignIn, peopleAnybody, peopleToSignIn } from '@/lib/db/people.ts'
import { PersonForm } from '../people/person-form.tsx'
import { enter } from './actions.ts'

export const metadata: Metadata = { title: 'Sign in' }

type Query = Record<string, string | string[] | undefined>

function addressWith(query: { name?: string; with?: string; next: string }): string {
  const search = new URLSearchParams()
  if (query.name) search.set('name', query.name)
  if (query.with) search.set('with', query.with)
  if (query.next !== '/') search.set('next', query.next)
  return search.size > 0 ? `/sign-in?${search}` : '/sign-in'
}

export default async function SignInPage({ searchParams }: { searchParams: Promise<Query> }) {
  const query = await searchParams
  const next = localPath(typeof query.next === 'string' ? query.next : null)
  if (await person()) redirect(next)
  if (!(await peopleAnybody())) redirect('/first-manager')
  const names = await peopleToSignIn()
  const chosen = names.find((name) => name === query.name)
  const demo = await demoSignIn()
  return (
    <main className="page narrow stack loose" id="page">
      <h1>Sign in</h1>
      {demo ? <DemoPeople people={demo} next={next} /> : null}
      {chosen === undefined ? (
        <ChooseName names={names} next={next} />
      ) : (
        <EnterSecret name={chosen} next={next} withPassword={query.with === 'password'} />
      )}
    </main>
  )
}

function ChooseName({ names, next }: { names: string[]; next: string }) {
  return (
    <>
      <section className="stack" aria-labelledby="who">
        <h2 id="who">Who are you?</h2>
        <ul className="plain-list columns">
          {names.map((name) => (
            <li key={name}>
              <a className="button big" href={addressWith({ name, next })}>
                {name}
              </a>
            </li>
          ))}
        </ul>
      </section>
      <details>
        <summary className="button quiet">Type your name instead</summary>
        <PersonForm kind="sign-in" action={enter} formKey={freshKey()} submit="Sign in" next={next} keyboard="text" />
      </details>
    </>
  )
}

function EnterSecret({ name, next, withPassword }: { name: string; next: string; withPassword: boolean }) {
  return (
    <section className="stack" aria-labelledby="who">
      <h2 id="who">{name}</h2>
      <PersonForm
        kind="sign-in"
        action={enter}
        formKey={freshKey()}
        submit="Sign in"
        name={name}
        next={next}
        keyboard={withPassword ? 'text' : 'numeric'}
      />
      <p className="row">
        <a className="button quiet" href={addressWith({ name, next, with: withPassword ? undefined : 'password' })}>
          {withPassword ? 'I have a PIN' : 'I have a password'}
        </a>
        <a className="button quiet" href={addressWith({ next })}>
          Somebody else
        </a>
      </p>
    </section>
  )
}

/** The demo tells its PINs: there is nothing in it to protect, and somebody has to get in. */
function DemoPeople({ people, next }: { people: DemoSignIn; next: string }) {
  return (
    <section className="done stack" aria-labelledby="demo">
      <h2 id="demo">Demo</h2>
      <p>All people and data are invented. Sign in as any of these:</p>
      <table className="parts">
        <thead>
          <tr>
            <th scope="col">Name</th>
            <th scope="col">PIN</th>
            <th scope="col">Roles</th>
          </tr>
        </thead>
        <tbody>
          {people.map(({ name, secret, roles }) => (
            <tr key={name}>
              <td>
                <a href={addressWith({ name, next })}>{name}</a>
              </td>
              <td className="number">{secret}</td>
              <td>{roles.join(', ')}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}
