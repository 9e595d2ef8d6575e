// The page behind the link: it keeps the key and goes on to the plan.
import { keep } from './contact.js';

keep(document.querySelector('meta[name=key]').content);
location.replace('/');
