package org.cellherd.store;

import java.util.ArrayDeque;
import java.util.Deque;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.ForkJoinPool;
import java.util.concurrent.ForkJoinTask;
import org.cellherd.pack.Reading;
import org.cellherd.store.codec.BlockDamaged;

/**
 * Unpacks the next blocks on other processors while the present one is worked on. Holds a few
 * blocks; gives them back in order. Belongs to one thread.
 */
final class BlocksAhead {

  /** Blocks unpacked at a time, the present one counted: about 1 MB each. */
  private static final int MOST = Math.min(4, 1 + Runtime.getRuntime().availableProcessors());

  /**
   * A block and what it holds.
   *
   * @param readings empty when the block is damaged; {@code damage} says how
   */
  record Unpacked(ReadingsRow row, List<Reading> readings, Optional<String> damage) {}

  private final Deque<ForkJoinTask<Unpacked>> tasks = new ArrayDeque<>();

  /** True when another row should be handed in before one is taken. */
  boolean hasRoom() {
    return tasks.size() < MOST;
  }

  /** True when no block is left. */
  boolean isEmpty() {
    return tasks.isEmpty();
  }

  void add(ReadingsRow row) {
    tasks.add(ForkJoinPool.commonPool().submit(() -> unpack(row)));
  }

  /** The oldest block; until it is unpacked this processor works on the youngest. */
  Unpacked next() {
    ForkJoinTask<Unpacked> oldest = tasks.remove();
    ForkJoinTask<Unpacked> youngest = tasks.peekLast();
    if (!oldest.isDone() && youngest != null && youngest.tryUnfork()) {
      youngest.quietlyInvoke();
    }
    return oldest.join();
  }

  static Unpacked unpack(ReadingsRow row) {
    try {
      return new Unpacked(row, row.readings(), Optional.empty());
    } catch (BlockDamaged e) {
      return new Unpacked(row, List.of(), Optional.of(String.valueOf(e.getMessage())));
    }
  }
}
