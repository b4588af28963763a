package org.cellherd.page;

import java.util.concurrent.PriorityBlockingQueue;
import java.util.concurrent.ThreadPoolExecutor;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;

/** The few threads that answer whole requests: the owner's first, then in the order they came. */
final class Workers implements AutoCloseable {

  private static final int COUNT = 3;

  private final AtomicLong threads = new AtomicLong();
  private final AtomicLong jobs = new AtomicLong();
  private final ThreadPoolExecutor pool =
      new ThreadPoolExecutor(
          COUNT, COUNT, 30, TimeUnit.SECONDS, new PriorityBlockingQueue<>(), this::thread);

  Workers() {
    pool.allowCoreThreadTimeOut(true);
  }

  private record Job(boolean isOwners, long number, Runnable task)
      implements Runnable, Comparable<Job> {
    @Override
    public void run() {
      task.run();
    }

    @Override
    public int compareTo(Job other) {
      return isOwners == other.isOwners ? Long.compare(number, other.number) : isOwners ? -1 : 1;
    }
  }

  private Thread thread(Runnable task) {
    Thread thread = new Thread(task, "page-worker-" + threads.incrementAndGet());
    thread.setDaemon(true);
    return thread;
  }

  /** Answers in its turn; a connection has one request at a time, so that they bound the queue. */
  void work(boolean isOwners, Runnable task) {
    pool.execute(new Job(isOwners, jobs.incrementAndGet(), task));
  }

  @Override
  public void close() {
    pool.shutdownNow();
  }
}
