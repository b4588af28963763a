package org.cellherd.alert;

import java.util.ArrayDeque;
import java.util.Deque;
import java.util.List;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Channel.Kind;
import org.cellherd.pack.Reading;

/**
 * The latest readings, as far back as a rate looks, and how well the noise in them lets a rate be
 * known: whoever leaves one reading out or adds one may move a slope by the scatter around a
 * straight line over the half of the window.
 */
final class Window {
  private static final int LEAST = 5;
  private static final long LENGTH_MS = 45_000;
  private static final long HEAT_MS = 300_000;

  private final Deque<Reading> readings = new ArrayDeque<>();
  private int sensors;

  Window() {}

  int sensors() {
    return sensors;
  }

  void add(Reading reading) {
    sensors = Math.max(sensors, reading.temperatures().count());
    readings.add(reading);
    while (readings.size() > LEAST && reading.timeMs() - readings.getFirst().timeMs() > HEAT_MS) {
      readings.removeFirst();
    }
  }

  /** By how much a slope may differ for nothing, mV or degC a minute. */
  double unsure(Kind kind, int number) {
    Channel channel = new Channel(kind, number);
    long now = readings.getLast().timeMs();
    List<Reading> all = List.copyOf(readings);
    List<Reading> seen = all.subList(Math.max(0, firstWithin(all, now)), all.size());
    double[] t = seen.stream().mapToDouble(r -> (r.timeMs() - now) / 60_000.0).toArray();
    double[] v = seen.stream().mapToDouble(r -> r.value(channel).orElse(0) / 10.0).toArray();
    double most = 0;
    double slope = v.length < 2 ? 0 : (v[v.length - 1] - v[0]) / (t[t.length - 1] - t[0]);
    for (int i = 0; i < v.length; i++) {
      most = Math.max(most, Math.abs(v[i] - v[0] - slope * (t[i] - t[0])));
    }
    double span = Math.max(t[t.length - 1] - t[0], 1e-3);
    return 2 * most / (span / 2);
  }

  private static int firstWithin(List<Reading> all, long now) {
    int i = all.size() - 1;
    while (i > 0 && (now - all.get(i).timeMs() < LENGTH_MS || all.size() - i < LEAST)) {
      i--;
    }
    return i;
  }
}
