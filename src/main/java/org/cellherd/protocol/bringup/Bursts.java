package org.cellherd.protocol.bringup;

import java.io.ByteArrayOutputStream;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/** Sorts the bytes of a capture into bursts. One thread, used once. */
final class Bursts {
  /** Work grows with the capture; this much is plenty to know a board by. */
  private static final int MOST_BURSTS = 2000;

  private static final int MOST_BYTES = 1 << 17;

  private static final int LONGEST_BURST = 1 << 16;

  /** Pauses of a sender are longer than this, ms. */
  private static final long SURE_PAUSE_MS = 30;

  private final List<Burst> bursts = new ArrayList<>();
  private final ByteArrayOutputStream current = new ByteArrayOutputStream();
  private byte[] request = {};
  private boolean isAsked;

  private Bursts() {}

  /** Answers by their requests where there are any, else by pauses; echoes are taken off. */
  static List<Burst> of(List<HeardBytes> heard) {
    Bursts made = new Bursts();
    made.isAsked = heard.stream().anyMatch(HeardBytes::isToBoard);
    long pause = made.isAsked ? Long.MAX_VALUE : pauseMs(heard);
    long last = Long.MIN_VALUE / 2;
    int total = 0;
    for (HeardBytes piece : heard) {
      if (piece.isToBoard()) {
        made.end();
        made.request = piece.bytes();
      } else {
        if (piece.atMs() - last > pause) {
          made.end();
        }
        last = piece.atMs();
        made.add(piece.bytes());
        total += piece.bytes().length;
      }
      if (made.bursts.size() >= MOST_BURSTS || total >= MOST_BYTES) {
        break;
      }
    }
    made.end();
    return withoutEchoes(made.bursts);
  }

  private void add(byte[] bytes) {
    if (current.size() + bytes.length > LONGEST_BURST) {
      end();
    }
    current.write(bytes, 0, Math.min(bytes.length, LONGEST_BURST));
  }

  private void end() {
    if (current.size() > 0) {
      bursts.add(new Burst(request, current.toByteArray()));
      current.reset();
    }
  }

  /** The pause that parts messages: where the pauses between pieces fall into short and long. */
  private static long pauseMs(List<HeardBytes> heard) {
    long[] pauses = new long[Math.max(0, heard.size() - 1)];
    for (int i = 0; i < pauses.length; i++) {
      pauses[i] = Math.max(0, heard.get(i + 1).atMs() - heard.get(i).atMs());
    }
    Arrays.sort(pauses);
    if (pauses.length == 0 || pauses[0] > SURE_PAUSE_MS) {
      return SURE_PAUSE_MS;
    }
    long best = Long.MAX_VALUE;
    double widest = 3;
    for (int i = 0; i + 1 < pauses.length; i++) {
      double ratio = (pauses[i + 1] + 1.0) / (pauses[i] + 1.0);
      if (ratio > widest && pauses[i + 1] >= 5) {
        widest = ratio;
        best = (pauses[i] + pauses[i + 1]) / 2;
      }
    }
    return best;
  }

  private static List<Burst> withoutEchoes(List<Burst> bursts) {
    long echoes = bursts.stream().filter(Bursts::beginsWithEcho).count();
    if (echoes * 2 < bursts.size() || echoes == 0) {
      return bursts;
    }
    return bursts.stream()
        .map(b -> beginsWithEcho(b) ? b.part(b.request().length, b.length()) : b)
        .filter(b -> b.length() > 0)
        .toList();
  }

  private static boolean beginsWithEcho(Burst burst) {
    byte[] asked = burst.request();
    return asked.length > 0
        && burst.length() >= asked.length
        && Arrays.equals(asked, 0, asked.length, burst.bytes(), 0, asked.length);
  }
}
