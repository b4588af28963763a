package org.cellherd.protocol.bringup;

import java.util.List;
import java.util.Random;

/** Draws of one board, by its seed. */
record Chances(Random random) {
  <T> T of(List<T> choices) {
    return choices.get(random.nextInt(choices.size()));
  }

  boolean once(int in) {
    return random.nextInt(in) == 0;
  }

  int upTo(int most) {
    return random.nextInt(most);
  }
}
