/**
 * A socket that is being bound sends and receives when it is bound, instead of refusing. tslab answers whatever arrives
 * while its sockets are still being bound; refused, the kernel ends, or lives on and hears nothing.
 */
const { Publisher, Reply, Router, Socket } = require('zeromq');

/** Settles when a socket that is being bound is bound, or could not be. */
const bound = new WeakMap();

function bind(address) {
  const done = Socket.prototype.bind.call(this, address);
  const over = done.catch(() => {}).then(() => bound.delete(this));
  bound.set(this, over);
  return done;
}

const afterBinding = (method) =>
  function whenBound(...given) {
    const wait = bound.get(this);
    return wait ? wait.then(() => method.apply(this, given)) : method.apply(this, given);
  };

// The methods of all sockets cannot be replaced, so each kind gets its own.
for (const { prototype } of [Publisher, Reply, Router]) {
  Object.defineProperties(prototype, {
    bind: { value: bind },
    send: { value: afterBinding(Socket.prototype.send) },
    receive: { value: afterBinding(Socket.prototype.receive) },
  });
}
