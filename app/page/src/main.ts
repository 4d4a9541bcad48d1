import { mount } from 'svelte';
import './ui/page.css';
import './ui/survey.css';
import './ui/start.css';
import Page from './ui/Page.svelte';

const target = document.getElementById('page');
if (!target) throw new Error('the document has no place for the page');
mount(Page, { target });
