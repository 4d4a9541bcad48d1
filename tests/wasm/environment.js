// What a process is told by its environment, it is told in node too: which share of the tests is its.
Module['preRun'] = () => Object.assign(ENV, process.env);
