import type { Metadata } from 'next'
import Link from 'next/link'
import { type PageQuery, queryText } from '@/app/_parts/query.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { askBolt, askGrease, askSplitPin, askWheel } from '@/lib/fastener/ask.ts'
import { PROPERTY_CLASSES, THREAD_STATES } from '@/lib/fastener/bolt-sheet.ts'
import { splitPinText } from '@/lib/fastener/split-pin.ts'
import type { ThreadState } from '@/lib/fastener/torque.ts'
import { BoltAnswer } from './bolt-answer.tsx'
import { GreaseAnswer, WheelAnswer } from './other-answers.tsx'
import { answered, Choice, Question, short, TextInput } from './part.tsx'

export const metadata: Metadata = { title: 'Fasteners and grease' }

const stateOf = (text: string): ThreadState => THREAD_STATES.find((state) => state === text) ?? 'dry'

export default async function FastenersPage({ searchParams }: { searchParams: PageQuery }) {
  await signedIn()
  const asked = await searchParams
  const of = queryText(asked.of)
  const typed = (name: string) => queryText(asked[name]).slice(0, 40)
  const mine = (topic: string, name: string) => (of === topic ? typed(name) : '')
  const propertyClass = PROPERTY_CLASSES.includes(typed('propertyClass')) ? typed('propertyClass') : '8.8'
  const bolt = {
    thread: mine('bolt', 'thread'),
    propertyClass,
    statedNm: typed('statedNm'),
    statedState: stateOf(typed('statedState')),
    newState: of === 'bolt' && asked.newState ? stateOf(typed('newState')) : ('anti-seize' as const),
  }
  const pin = { hole: typed('hole'), thread: mine('split-pin', 'thread'), clevis: typed('clevis') }
  return (
    <main className="page stack" id="page">
      <header className="page-head">
        <div>
          <p className="over">Sizes and torques when the manual is not at hand</p>
          <h1>Fasteners and grease</h1>
        </div>
      </header>
      <p className="caution">
        <span aria-hidden="true">⚠ </span>The figure in the maker’s manual rules where there is one. These are tables
        and rules of thumb: brakes, steering, wheels and lifting gear are tightened to the manual, by somebody who is
        qualified for it, with a wrench that is in calibration.
      </p>
      <Question
        of="split-pin"
        title="Split pin"
        fields={
          <>
            <TextInput name="hole" label="Hole" unit="mm" value={pin.hole} inputMode="decimal" />
            <TextInput name="thread" label="or thread" unit="M16" value={pin.thread} />
            <TextInput name="clevis" label="or clevis pin" unit="mm" value={pin.clevis} inputMode="decimal" />
          </>
        }
        answer={
          of === 'split-pin'
            ? answered(() => {
                const choice = askSplitPin(pin)
                return (
                  <div className="stack tight" role="status">
                    <p className="strong">{splitPinText(choice)}</p>
                    <p>
                      From the {choice.from}. The pin itself is {choice.size.bodyMmMin} to {choice.size.bodyMmMax} mm
                      thick; lengths {choice.size.lengthMmMin} to {choice.size.lengthMmMax} mm. Always a new one.
                    </p>
                    <p className="small soft">{choice.source}</p>
                    <p>
                      <Link
                        className="button"
                        href={paths.search(`split pin ${choice.nominalMm}`, { shelf: '1' })}
                        prefetch={false}
                      >
                        Look on the shelf
                      </Link>
                    </p>
                  </div>
                )
              })
            : null
        }
      />
      <Question
        of="bolt"
        title="Bolt torque"
        fields={
          <>
            <TextInput name="thread" label="Thread" unit="M12 or M12x1.25" value={bolt.thread} />
            <Choice name="propertyClass" label="Class on the head" value={propertyClass} options={PROPERTY_CLASSES} />
            <TextInput
              name="statedNm"
              label="Torque of the manual"
              unit="N m"
              value={bolt.statedNm}
              inputMode="decimal"
            />
            <Choice name="statedState" label="meant for threads" value={bolt.statedState} options={THREAD_STATES} />
            <Choice name="newState" label="threads now" value={bolt.newState} options={THREAD_STATES} />
          </>
        }
        answer={of === 'bolt' ? answered(() => <BoltAnswer asked={bolt} answer={askBolt(bolt)} />) : null}
      />
      <Question
        of="wheel"
        title="Wheel nuts"
        fields={
          <>
            <TextInput name="studs" label="Studs" value={typed('studs')} inputMode="decimal" />
            <TextInput
              name="wheelNm"
              label="Torque of the manual"
              unit="N m"
              value={typed('wheelNm')}
              inputMode="decimal"
            />
          </>
        }
        answer={
          of === 'wheel'
            ? answered(() => <WheelAnswer {...askWheel({ studs: typed('studs'), wheelNm: typed('wheelNm') })} />)
            : null
        }
      />
      <Question
        of="grease"
        title="Grease for a bearing"
        fields={
          <>
            <TextInput name="bearing" label="Bearing number" unit="6206" value={typed('bearing')} />
            <TextInput
              name="outside"
              label="or outside diameter"
              unit="mm"
              value={typed('outside')}
              inputMode="decimal"
            />
            <TextInput name="width" label="and width" unit="mm" value={typed('width')} inputMode="decimal" />
          </>
        }
        answer={
          of === 'grease'
            ? answered(() => {
                const { grams, size } = askGrease({
                  bearing: typed('bearing'),
                  outside: typed('outside'),
                  width: typed('width'),
                })
                return <GreaseAnswer grams={short(grams)} size={size} />
              })
            : null
        }
      />
    </main>
  )
}
