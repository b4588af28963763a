package org.cellherd.page;

import java.io.IOException;
import java.io.OutputStream;
import java.net.Inet6Address;
import java.net.InetAddress;
import java.nio.ByteBuffer;
import java.nio.channels.SelectionKey;
import java.nio.channels.SocketChannel;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.HexFormat;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;

/**
 * One connection, with what it may take of time. Belongs to the listener's thread; only what {@link
 * Reply} offers may be called from others.
 */
final class Caller {

  /** A request must be whole so long after its first byte: nobody holds a place by dawdling. */
  private static final long REQUEST_NANOS = TimeUnit.SECONDS.toNanos(10);

  /** Between requests, for who has shown to be the owner. */
  private static final long IDLE_OWNER_NANOS = TimeUnit.SECONDS.toNanos(30);

  private static final long IDLE_NANOS = TimeUnit.SECONDS.toNanos(5);

  /** Who takes nothing of an answer for so long is given up. */
  private static final long TAKING_NANOS = TimeUnit.SECONDS.toNanos(8);

  /** No answer takes so long to make, unless we are wrong. */
  private static final long WORKING_NANOS = TimeUnit.SECONDS.toNanos(60);

  /** So long a refused sender may go on before the connection is cut off. */
  private static final long PARTING_NANOS = TimeUnit.SECONDS.toNanos(1);

  /** What the connection is about. */
  private enum State {
    READING,
    WAITING,
    WORKING,
    SENDING,
    STREAMING,
    PARTING
  }

  private final Listener listener;
  private final SocketChannel channel;
  private final SelectionKey key;
  private final InetAddress from;
  private final RequestReader reader = new RequestReader();
  private final Deque<ByteBuffer> out = new ArrayDeque<>();
  private State state = State.READING;
  private boolean isOwners;
  private boolean isBegun = true;
  private boolean isLast;
  private long sinceNanos;
  private long untilNanos;
  private long turn;
  private @Nullable HttpRequest request;
  private @Nullable Stream stream;

  Caller(Listener listener, SocketChannel channel, SelectionKey key) throws IOException {
    this.listener = listener;
    this.channel = channel;
    this.key = key;
    this.from = channel.socket().getInetAddress();
    this.sinceNanos = listener.now();
    this.untilNanos = sinceNanos + REQUEST_NANOS;
  }

  /** An address; of IPv6 the half that a network gives, since its owner has all the rest. */
  String place() {
    return place(from);
  }

  static String place(InetAddress address) {
    if (address instanceof Inet6Address) {
      byte[] bytes = address.getAddress();
      return HexFormat.of().formatHex(bytes, 0, 8) + "::";
    }
    return address.getHostAddress();
  }

  boolean isOwners() {
    return isOwners;
  }

  boolean isBusy() {
    return state == State.WORKING || state == State.STREAMING;
  }

  long sinceNanos() {
    return sinceNanos;
  }

  /** The kernel has bytes for us, or takes some. */
  void ready(ByteBuffer buffer) throws IOException {
    if (key.isValid() && key.isWritable()) {
      flush();
    }
    if (key.isValid() && key.isReadable()) {
      buffer.clear();
      if (channel.read(buffer) < 0) {
        close();
      } else if (state == State.READING) {
        reader.take(buffer.flip());
        proceed();
      }
    }
  }

  private void proceed() throws IOException {
    if (!isBegun && !reader.isEmpty()) {
      isBegun = true;
      untilNanos = listener.now() + REQUEST_NANOS;
    }
    Optional<RequestReader.Step> step = reader.next(from);
    if (step.isEmpty()) {
      key.interestOps(SelectionKey.OP_READ);
    } else if (step.get() instanceof RequestReader.Whole whole) {
      isLast = whole.isLast();
      sinceNanos = listener.now();
      isOwners |= listener.guard().isOwners(whole.request());
      work(whole.request());
    } else if (step.get() instanceof RequestReader.Refused refused) {
      isLast = true;
      request = null;
      send(Guard.dressed(Answer.text(refused.status(), refused.why())));
    }
  }

  private void work(HttpRequest whole) {
    request = whole;
    state = State.WORKING;
    untilNanos = listener.now() + WORKING_NANOS;
    key.interestOps(0);
    listener.work(isOwners, whole, new Back(++turn));
  }

  private void send(Answer answer) throws IOException {
    boolean isHead = request != null && request.is("HEAD");
    out.add(ByteBuffer.wrap(answer.head(isLast, false, listener.wallMs())));
    if (!isHead && answer.hasBody()) {
      out.add(ByteBuffer.wrap(answer.body()));
    }
    state = State.SENDING;
    untilNanos = listener.now() + TAKING_NANOS;
    flush();
  }

  private void flush() throws IOException {
    ByteBuffer next = out.peek();
    while (next != null) {
      int taken = channel.write(next);
      if (taken > 0) {
        untilNanos = listener.now() + TAKING_NANOS;
        if (stream != null) {
          stream.taken(taken);
        }
      }
      if (next.hasRemaining()) {
        boolean listens = state == State.STREAMING;
        key.interestOps(SelectionKey.OP_WRITE | (listens ? SelectionKey.OP_READ : 0));
        return;
      }
      out.remove();
      next = out.peek();
    }
    sent();
  }

  /** All that was to be sent has gone. */
  private void sent() throws IOException {
    if (state == State.STREAMING) {
      untilNanos = Long.MAX_VALUE;
      key.interestOps(SelectionKey.OP_READ);
    } else if (isLast) {
      // Closing with bytes unread would take the answer away from its reader.
      channel.shutdownOutput();
      state = State.PARTING;
      untilNanos = listener.now() + PARTING_NANOS;
      key.interestOps(SelectionKey.OP_READ);
    } else {
      request = null;
      state = State.READING;
      isBegun = false;
      untilNanos = listener.now() + (isOwners ? IDLE_OWNER_NANOS : IDLE_NANOS);
      proceed();
    }
  }

  /** Does what is due when its time has come. */
  void look(long nowNanos) {
    if (untilNanos == Long.MAX_VALUE || nowNanos - untilNanos < 0) {
      return;
    }
    if (state == State.WAITING && request != null) {
      work(request.late());
    } else {
      close();
    }
  }

  void close() {
    listener.left(this);
    key.cancel();
    try {
      channel.close();
    } catch (IOException gone) {
      // It is gone in any case.
    }
    if (stream != null) {
      stream.end();
    }
  }

  /** The way back for one request. */
  private final class Back implements Reply {
    private final long asked;

    Back(long asked) {
      this.asked = asked;
    }

    /** A request that is no longer worked on has no way back: its connection was given up. */
    private void back(Listener.Task task) {
      listener.execute(
          () -> {
            if (state == State.WORKING && turn == asked && channel.isOpen()) {
              task.run();
            }
          },
          Caller.this);
    }

    @Override
    public void send(Answer answer) {
      back(() -> Caller.this.send(answer));
    }

    @Override
    public void later(long nanos) {
      back(
          () -> {
            state = State.WAITING;
            untilNanos = listener.now() + nanos;
          });
    }

    @Override
    public OutputStream stream(Answer head) {
      Stream begun = new Stream(listener, Caller.this);
      back(
          () -> {
            stream = begun;
            isLast = true;
            state = State.STREAMING;
            push(ByteBuffer.wrap(head.head(true, true, listener.wallMs())));
          });
      return begun;
    }
  }

  /** Sends more of an answer that goes on. */
  void push(ByteBuffer bytes) throws IOException {
    if (out.isEmpty()) {
      untilNanos = listener.now() + TAKING_NANOS;
    }
    out.add(bytes);
    flush();
  }

  /** Ends an answer that went on. */
  void finish() throws IOException {
    state = State.SENDING;
    flush();
  }
}
