package org.cellherd.store;

import java.util.ArrayList;
import java.util.List;

/** What the log found wrong and what it did about it, in sentences for people. Any thread. */
final class Reports {

  /** Beyond this only the first count: whoever reads the first looks at the card. */
  private static final int MOST = 200;

  private final List<String> sentences = new ArrayList<>();

  public synchronized void add(String sentence) {
    if (sentences.size() < MOST && !sentences.contains(sentence)) {
      sentences.add(sentence);
    }
  }

  /** Adds readings that are gone. */
  public void addAll(List<Loss> losses) {
    losses.forEach(loss -> add(loss.sentence()));
  }

  /** All so far, in order. */
  public synchronized List<String> all() {
    return List.copyOf(sentences);
  }
}
