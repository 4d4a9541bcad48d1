// The cars of the tests, as texts.
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

export const root = fileURLToPath(new URL('../../../..', import.meta.url));
export const cars = `${root}/cars`;

// An invented car that is ranked at once: for what is about the page, and not about the demo's figures.
export const tockFile = fileURLToPath(new URL('tock.toml', import.meta.url));
export const tock = readFileSync(tockFile, 'utf8');
// The same with a doubt of each joint, and so with chances; with a rear axle; with all that a demo makes,
// bolts and reads on the floor; and with the run that a demo made after its parts were fitted.
export const tockInDoubt = tock
  .replace('[front.wheel]', '[front]\nsigma = 2\n\n[front.wheel]')
  .replace('693.5, 280]', '693.5, "280 ± 1 mm"]');
export const tockOfTwoAxles =
  tock + readFileSync(fileURLToPath(new URL('tock-rear.toml', import.meta.url)), 'utf8');
export const pip = readFileSync(`${cars}/pip.toml`, 'utf8');
export const tockWithParts = tockOfTwoAxles + pip.slice(pip.indexOf('[[make]]'));
const pipSurvey = readFileSync(`${cars}/pip-survey.toml`, 'utf8');
const lastRun = pipSurvey.indexOf('  # With the parts fitted');
const readingsEnd = pipSurvey.indexOf(']\n\n[survey]');
export const tockProven = `reading = [\n${pipSurvey.slice(lastRun, readingsEnd)}]\n${tockInDoubt}`;
// The demo's survey, of a car for which there is next to nothing to be ranked.
export const surveyed =
  pipSurvey.slice(0, lastRun) +
  pipSurvey.slice(readingsEnd, pipSurvey.indexOf('[[option]]')) +
  ['front.arm.lower.upright', 'rear.rod.lateral.upright']
    .map(
      (joint) =>
        `[[option]]\nname = "${joint}"\njoint = "${joint}"\nalong = [0, 0, -1]\nsizes = [0, 10]\n`,
    )
    .join('\n');
