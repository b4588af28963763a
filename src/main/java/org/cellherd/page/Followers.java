package org.cellherd.page;

import java.io.OutputStream;
import java.time.ZoneId;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import org.cellherd.pack.TimeSource;

/** All open pages, bounded in number; a page that takes nothing for long is dropped. Any thread. */
final class Followers implements AutoCloseable {

  /** Enough for a household; each is a thread. */
  public static final int MOST = 12;

  private final LiveBoard board;
  private final News.Place place;
  private final Map<Thread, Follower> open = new LinkedHashMap<>();
  private boolean closed;
  private long count;

  /** Nobody follows yet. */
  public Followers(LiveBoard board, String site, TimeSource time, ZoneId zone) {
    this.board = board;
    this.place = new News.Place(site, time, zone);
  }

  /** The way to a page that was let in. */
  public interface Line {
    /** Begins the answer; called once, on the follower's thread, which closes it. */
    OutputStream open();
  }

  /**
   * Serves a page until it goes away.
   *
   * @param only the pack that it shows; empty for all
   * @return false when there are too many; the line was not touched then
   */
  public synchronized boolean follow(Optional<String> only, Line line) {
    if (closed || open.size() >= MOST) {
      return false;
    }
    Follower follower = new Follower(board, new News(board, only, place), line, place.time());
    Thread thread =
        new Thread(
            () -> {
              try {
                follower.run();
              } finally {
                left();
              }
            },
            "page-" + ++count);
    thread.setDaemon(true);
    open.put(thread, follower);
    thread.start();
    return true;
  }

  /**
   * All that a page is told first, as {@code [["hello", {...}], ["pack", {...}], ...]}: what it
   * shows before it follows.
   *
   * @param only the pack that it shows; empty for all
   */
  public String first(Optional<String> only) {
    return new News(board, only, place).first();
  }

  /**
   * What the page answers before its script runs, HTML.
   *
   * @param only the pack that it shows; empty for all
   */
  public String answer(Optional<String> only) {
    return new News(board, only, place).answer();
  }

  /** How many follow now. */
  public synchronized int count() {
    return open.size();
  }

  private synchronized void left() {
    open.remove(Thread.currentThread());
  }

  @Override
  public synchronized void close() {
    closed = true;
    open.keySet().forEach(Thread::interrupt);
  }
}
