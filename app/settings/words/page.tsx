import Link from 'next/link'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { workshopWords } from '@/lib/db/search-words.ts'
import { mayDo, rightWhomToAsk } from '@/lib/people/role.ts'
import { SYMPTOM_GROUPS, THESAURUS_GROUPS } from '@/lib/search/thesaurus.ts'
import { addWords, changeWords, removeWords } from './actions.ts'

export const metadata = { title: 'Words of our workshop' }

export default async function WordsPage() {
  const me = await signedIn()
  const mayChange = mayDo(me.roles, 'search.words')
  const groups = await workshopWords()
  return (
    <main className="page narrow stack loose" id="page">
      <PageHead
        up={paths.settings()}
        from="Settings"
        about="what else a thing is called here, so that search finds it under each name"
        title="Words of our workshop"
      >
        <Link className="button quiet" href={paths.search()}>
          Search
        </Link>
      </PageHead>
      {mayChange ? (
        <section className="sheet stack" aria-labelledby="add">
          <h2 id="add">Add words for one thing</h2>
          <ActionForm action={addWords} formKey={freshKey()} submit="Add" aria-label="Add words for one thing">
            <Field
              name="words"
              label="Words, with a comma between them"
              hint="For example: drop pin, dolly pin. Counts at once, for everybody, with plurals."
            />
          </ActionForm>
        </section>
      ) : (
        <p className="soft">Ask {rightWhomToAsk('search.words')} to change this list; everybody searches with it.</p>
      )}
      <section className="stack" aria-labelledby="ours">
        <h2 id="ours">Ours</h2>
        {groups.length === 0 ? (
          <p className="empty">None yet. The words of the trade below are always understood.</p>
        ) : (
          <ul className="plain-list stack">
            {groups.map((group) => (
              <li key={group.id} className="sheet stack tight">
                <h3>{group.words.join(', ')}</h3>
                {mayChange ? (
                  <details>
                    <summary className="button" aria-label={`Change ${group.words.join(', ')}`}>
                      Change
                    </summary>
                    <div className="stack">
                      <ActionForm
                        action={changeWords}
                        formKey={freshKey()}
                        hidden={{ groupId: group.id }}
                        submit="Save"
                        submitClassName="button"
                        aria-label={`Change the words ${group.words.join(', ')}`}
                      >
                        <Field
                          name="words"
                          label="Words, with a comma between them"
                          defaultValue={group.words.join(', ')}
                        />
                      </ActionForm>
                      <ActionForm
                        action={removeWords}
                        formKey={freshKey()}
                        hidden={{ groupId: group.id }}
                        submit="Take this line off"
                        submitClassName="button"
                        aria-label={`Take off the words ${group.words.join(', ')}`}
                      />
                    </div>
                  </details>
                ) : null}
              </li>
            ))}
          </ul>
        )}
      </section>
      <section aria-labelledby="trade">
        <details>
          <summary className="button" id="trade">
            Words of the trade ({THESAURUS_GROUPS.length + SYMPTOM_GROUPS.length} lines)
          </summary>
          <ul className="plain-list stack tight">
            {[...THESAURUS_GROUPS, ...SYMPTOM_GROUPS].map((group) => (
              <li key={group.join()}>{group.join(', ')}</li>
            ))}
          </ul>
        </details>
      </section>
    </main>
  )
}
