package org.cellherd.analysis.trend;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.Random;
import org.cellherd.analysis.state.SavedState;
import org.junit.jupiter.api.Test;

class RingTest {

  @Test
  void keepsWhatAQueueOfThatLengthKeeps() {
    long seed = new Random().nextLong();
    Random random = new Random(seed);
    for (int run = 0; run < 200; run++) {
      int places = 1 + random.nextInt(12);
      Ring ring = new Ring(places);
      int[] values = new int[places];
      Deque<Integer> queue = new ArrayDeque<>();
      int all = random.nextInt(40);
      for (int i = 0; i < all; i++) {
        values[ring.next()] = i;
        queue.add(i);
        if (queue.size() > places) {
          queue.removeFirst();
        }
        ring = random.nextInt(5) == 0 ? restored(ring, places) : ring;
      }

      List<Integer> oldestFirst = new ArrayList<>();
      List<Integer> newestFirst = new ArrayList<>();
      for (int i = 0; i < ring.size(); i++) {
        oldestFirst.add(values[ring.oldest(i)]);
        newestFirst.add(0, values[ring.newest(i)]);
      }
      assertThat(oldestFirst).as("seed %s, run %s", seed, run).containsExactlyElementsOf(queue);
      assertThat(newestFirst).isEqualTo(oldestFirst);
      assertThat(ring.count()).isEqualTo(all);
    }
  }

  private static Ring restored(Ring ring, int places) {
    Ring fresh = new Ring(places);
    SavedState.of(ring::state).into(fresh::state);
    return fresh;
  }

  @Test
  void aRingWithoutAPlaceIsRefused() {
    assertThatThrownBy(() -> new Ring(0)).hasMessageContaining("0 places");
  }
}
