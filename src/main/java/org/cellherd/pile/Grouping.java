package org.cellherd.pile;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/** Which unit stands in which group; the working state of a search. Belongs to one thread. */
final class Grouping {
  final double[] ah;
  final double[] conductance;
  final Wishes wishes;
  final int[][] members;
  final int[] counts;
  final double[] sums;
  final List<Integer> spares = new ArrayList<>();

  Grouping(List<Matching.Candidate> units, int series, int parallel, Wishes wishes) {
    this.ah = units.stream().mapToDouble(Matching.Candidate::ah).toArray();
    this.conductance = units.stream().mapToDouble(Matching.Candidate::conductance).toArray();
    this.wishes = wishes;
    this.members = new int[series][parallel];
    this.counts = new int[series];
    this.sums = new double[series];
  }

  private Grouping(Grouping other) {
    this.ah = other.ah;
    this.conductance = other.conductance;
    this.wishes = other.wishes;
    this.members = new int[other.members.length][];
    for (int g = 0; g < members.length; g++) {
      members[g] = other.members[g].clone();
    }
    this.counts = other.counts.clone();
    this.sums = other.sums.clone();
    this.spares.addAll(other.spares);
  }

  Grouping copy() {
    return new Grouping(this);
  }

  int groups() {
    return members.length;
  }

  int parallel() {
    return members[0].length;
  }

  void add(int group, int unit) {
    members[group][counts[group]++] = unit;
    sums[group] += ah[unit];
  }

  /** Capacity of the weakest group, Ah. */
  double weakest() {
    double least = Double.POSITIVE_INFINITY;
    for (double sum : sums) {
      least = Math.min(least, sum);
    }
    return least;
  }

  /** Strongest minus weakest group, Ah. */
  double range() {
    double most = Double.NEGATIVE_INFINITY;
    for (double sum : sums) {
      most = Math.max(most, sum);
    }
    return most - weakest();
  }

  /** Exchanges the units at two places. */
  void swap(int a, int i, int b, int j) {
    int u = members[a][i];
    int v = members[b][j];
    members[a][i] = v;
    members[b][j] = u;
    sums[a] += ah[v] - ah[u];
    sums[b] += ah[u] - ah[v];
  }

  void swapSpare(int a, int i, int spare) {
    int u = members[a][i];
    int v = spares.get(spare);
    members[a][i] = v;
    spares.set(spare, u);
    sums[a] += ah[v] - ah[u];
  }

  boolean maySwap(int a, int i, int b, int j) {
    int u = members[a][i];
    int v = members[b][j];
    return !wishes.isBound(u)
        && !wishes.isBound(v)
        && wishes.fits(v, members[a], counts[a], u)
        && wishes.fits(u, members[b], counts[b], v);
  }

  boolean maySwapSpare(int a, int i, int spare) {
    int u = members[a][i];
    int v = spares.get(spare);
    return !wishes.isBound(u) && !wishes.isBound(v) && wishes.fits(v, members[a], counts[a], u);
  }

  double conductance(int group) {
    double sum = 0;
    for (int i = 0; i < counts[group]; i++) {
      sum += conductance[members[group][i]];
    }
    return sum;
  }

  /** The groups, strongest unit first in each; the units beyond them are the spares. */
  List<List<Integer>> groupsByCapacity() {
    List<List<Integer>> all = new ArrayList<>();
    for (int g = 0; g < members.length; g++) {
      List<Integer> group = new ArrayList<>();
      for (int unit : members[g]) {
        group.add(unit);
      }
      group.sort(Comparator.comparingDouble((Integer u) -> -ah[u]));
      all.add(group);
    }
    return all;
  }
}
