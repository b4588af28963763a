package org.cellherd.page;

import java.io.IOException;
import java.lang.System.Logger;
import java.lang.System.Logger.Level;
import java.net.InetSocketAddress;
import java.net.StandardSocketOptions;
import java.nio.ByteBuffer;
import java.nio.channels.SelectionKey;
import java.nio.channels.Selector;
import java.nio.channels.ServerSocketChannel;
import java.nio.channels.SocketChannel;
import java.util.Queue;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.concurrent.RejectedExecutionException;
import org.cellherd.pack.TimeSource;
import org.jspecify.annotations.Nullable;

/**
 * Listens for browsers. One thread reads, writes and keeps the times of all connections without
 * ever waiting for one of them, so that nobody who dawdles holds up anybody; only whole requests
 * come to the {@link Workers}, the owner's first.
 *
 * <p>The JDK's own server cannot: it reads a request on the thread that answers it, so that a few
 * half-sent ones hold all threads, and at its bound it resets whoever comes next.
 */
final class Listener implements AutoCloseable {

  private static final Logger LOG = System.getLogger(Listener.class.getName());

  /** Connections that the kernel keeps until they are taken. */
  private static final int BACKLOG = 128;

  private static final int READ_BYTES = 16_384;

  /** Times are looked at so often; each is of some seconds. */
  private static final long LOOK_EVERY_MS = 500;

  private final TimeSource time;
  private final Guard guard;
  private final Selector selector;
  private final ServerSocketChannel server;
  private final InetSocketAddress address;
  private final Workers workers = new Workers();
  private final Crowd crowd = new Crowd();
  private final Queue<Runnable> tasks = new ConcurrentLinkedQueue<>();
  private final ByteBuffer buffer = ByteBuffer.allocateDirect(READ_BYTES);
  private volatile boolean isClosing;
  private final Thread thread = new Thread(this::run, "page-listener");

  /** What the listener's thread does for a connection. */
  interface Task {
    void run() throws IOException;
  }

  /**
   * Takes an address; who asks waits for {@link #start}.
   *
   * @throws IOException when the address cannot be listened on
   */
  public Listener(InetSocketAddress listen, Guard guard, TimeSource time) throws IOException {
    this.time = time;
    this.guard = guard;
    this.selector = Selector.open();
    this.server = ServerSocketChannel.open();
    try {
      server.setOption(StandardSocketOptions.SO_REUSEADDR, true);
      server.bind(listen, BACKLOG);
      server.configureBlocking(false);
      server.register(selector, SelectionKey.OP_ACCEPT);
      this.address = (InetSocketAddress) server.getLocalAddress();
    } catch (IOException cannot) {
      server.close();
      selector.close();
      throw cannot;
    }
    thread.setDaemon(true);
  }

  /**
   * Begins to answer.
   *
   * @param rehearsal is done by a worker meanwhile, so that who asks first does not wait for
   *     classes to be loaded
   */
  public void start(Runnable rehearsal) {
    thread.start();
    workers.work(false, rehearsal);
  }

  public InetSocketAddress address() {
    return address;
  }

  Guard guard() {
    return guard;
  }

  long now() {
    return time.monotonicNanos();
  }

  long wallMs() {
    return time.wallMs();
  }

  void work(boolean isOwners, HttpRequest request, Reply reply) {
    try {
      workers.work(isOwners, () -> guard.handle(request, reply));
    } catch (RejectedExecutionException closing) {
      LOG.log(Level.DEBUG, "page: closing", closing);
    }
  }

  /** Does something for a connection on the listener's thread. */
  void execute(Task task, Caller caller) {
    tasks.add(() -> guarded(task, caller));
    selector.wakeup();
  }

  void left(Caller caller) {
    crowd.leave(caller);
  }

  private void run() {
    while (!isClosing) {
      try {
        selector.select(this::ready, crowd.isEmpty() ? 0 : LOOK_EVERY_MS);
        for (Runnable task = tasks.poll(); task != null; task = tasks.poll()) {
          task.run();
        }
        long now = now();
        crowd.all().forEach(caller -> caller.look(now));
      } catch (IOException | RuntimeException unexpected) {
        LOG.log(Level.WARNING, "page: " + unexpected.getMessage(), unexpected);
      }
    }
    end();
  }

  private void ready(SelectionKey key) {
    Caller caller = (Caller) key.attachment();
    if (caller == null) {
      guarded(this::accept, null);
    } else {
      guarded(() -> caller.ready(buffer), caller);
    }
  }

  private void accept() throws IOException {
    for (SocketChannel channel = server.accept(); channel != null; channel = server.accept()) {
      channel.configureBlocking(false);
      // Small answers go out at once.
      channel.setOption(StandardSocketOptions.TCP_NODELAY, true);
      SelectionKey key = channel.register(selector, SelectionKey.OP_READ);
      Caller newcomer = new Caller(this, channel, key);
      key.attach(newcomer);
      crowd.admit(newcomer).ifPresent(Caller::close);
    }
  }

  /** A connection that fails is closed, whatever it did; the others go on. */
  private static void guarded(Task task, @Nullable Caller caller) {
    try {
      task.run();
    } catch (IOException | RuntimeException gone) {
      boolean isOurs = gone instanceof RuntimeException;
      LOG.log(isOurs ? Level.WARNING : Level.DEBUG, "page: " + gone.getMessage(), gone);
      if (caller != null) {
        caller.close();
      }
    }
  }

  /** Lets everybody go; on the listener's thread, or where it never ran. */
  private void end() {
    crowd.all().forEach(Caller::close);
    try {
      server.close();
      selector.close();
    } catch (IOException gone) {
      LOG.log(Level.DEBUG, "page: " + gone.getMessage(), gone);
    }
  }

  @Override
  public void close() {
    isClosing = true;
    workers.close();
    if (!thread.isAlive()) {
      end();
      return;
    }
    selector.wakeup();
    try {
      thread.join(LOOK_EVERY_MS);
    } catch (InterruptedException closing) {
      Thread.currentThread().interrupt();
    }
  }
}
