package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import java.util.stream.IntStream;
import org.cellherd.protocol.bringup.EmulatedPack.Instant;

/** The drawn layout of an emulated board's data: how quantities share messages, in what order. */
final class EmulatedData {

  /** How messages share the quantities. */
  enum Share {
    /** All in one. */
    ONE,
    /** Cells in one, the rest in another. */
    TWO,
    /** As two, and a third at each third instant that tells neither cells nor current. */
    SELDOM,
    /** Pages of four cells, or of two, the rest in the last, byte 0 of the data is the page. */
    PAGES,
    /** The count of cells, pages of four cells with the page as byte 0, the rest. */
    COUNTED,
    /** CAN: four cells an identifier. */
    FRAMES,
    /** CAN: three cells a frame of one identifier, byte 0 is the page. */
    MULTIPLEXED;

    boolean isOfCan() {
      return this == FRAMES || this == MULTIPLEXED;
    }
  }

  private static final int PAGE = 4;
  private static final int SHORT_PAGE = 2;

  /** What no current may be in an unsigned number: tens of thousands, powers of two, others. */
  private static final int[] ZEROS = {
    30_000, 32_768, 20_000, 16_384, 10_000, 32_000, 25_000, 12_500
  };

  private final Share share;
  private final EmulatedNumbers numbers;
  private final List<Block> blocks = new ArrayList<>();
  private final int filler;
  private int counter;

  /** What may stand beside the cells. */
  private enum Block {
    PACK,
    CURRENT,
    TEMPERATURES,
    SOC,
    /** Switches and which cells bleed. */
    FLAGS,
    /** Highest and lowest cell, as the cells are coded. */
    EXTREMES,
    CHARGE,
    COUNTER
  }

  EmulatedData(Chances chances, Share share, boolean isModbus) {
    this.share = share;
    this.numbers = new EmulatedNumbers(chances, isModbus, share.isOfCan());
    blocks.addAll(List.of(Block.PACK, Block.CURRENT, Block.TEMPERATURES, Block.COUNTER));
    for (Block extra : List.of(Block.SOC, Block.FLAGS, Block.EXTREMES, Block.CHARGE)) {
      if (chances.once(extra == Block.EXTREMES ? 4 : 2)) {
        blocks.add(extra);
      }
    }
    Collections.shuffle(blocks, chances.random());
    this.filler = chances.upTo(256);
  }

  int toleranceTenthMv() {
    return numbers.toleranceTenthMv();
  }

  /** The data of each message that tells an instant. */
  List<EmulatedPart> of(Instant instant) {
    counter++;
    byte[] cells = numbers.cells(instant.cellsTenthMv());
    List<EmulatedPart> all = new ArrayList<>();
    switch (share) {
      case ONE -> all.add(new EmulatedPart(0, -1, InventedLine.bytes(cells, rest(instant))));
      case TWO, SELDOM -> {
        all.add(new EmulatedPart(0, -1, cells));
        all.add(new EmulatedPart(1, -1, rest(instant)));
        if (share == Share.SELDOM && counter % 3 == 0) {
          all.add(new EmulatedPart(2, -1, InventedLine.bytes(7, counter / 9, filler)));
        }
      }
      case PAGES -> pages(all, instant);
      case COUNTED -> counted(all, instant);
      default -> frames(all, instant);
    }
    return all;
  }

  /** Cells a page: one board in four has pages of two. */
  private int page(int usual) {
    return filler % 4 == 0 ? SHORT_PAGE : usual;
  }

  private int zero() {
    return ZEROS[filler / 4 % ZEROS.length];
  }

  private void pages(List<EmulatedPart> all, Instant instant) {
    for (int[] page : pagesOf(instant, page(PAGE), false)) {
      int n = all.size();
      all.add(new EmulatedPart(0, n, InventedLine.bytes(n, numbers.cells(page))));
    }
    int n = all.size();
    all.add(new EmulatedPart(0, n, InventedLine.bytes(n, rest(instant))));
  }

  private void counted(List<EmulatedPart> all, Instant instant) {
    all.add(new EmulatedPart(0, -1, InventedLine.bytes(instant.cellsTenthMv().length, filler)));
    List<int[]> pages = pagesOf(instant, page(PAGE), true);
    for (int n = 0; n < pages.size(); n++) {
      all.add(new EmulatedPart(1, n, InventedLine.bytes(n, numbers.cells(pages.get(n)))));
    }
    all.add(new EmulatedPart(2, -1, rest(instant)));
  }

  private void frames(List<EmulatedPart> all, Instant instant) {
    boolean isMultiplexed = share == Share.MULTIPLEXED;
    List<int[]> pages = pagesOf(instant, page(isMultiplexed ? 3 : PAGE), isMultiplexed);
    for (int n = 0; n < pages.size(); n++) {
      byte[] cells = numbers.cells(pages.get(n));
      int rank = isMultiplexed ? 0 : n;
      all.add(new EmulatedPart(rank, -1, isMultiplexed ? InventedLine.bytes(n, cells) : cells));
    }
    int rank = 16;
    for (List<Block> frame :
        List.of(List.of(Block.PACK, Block.CURRENT), List.of(Block.TEMPERATURES), others())) {
      all.add(new EmulatedPart(rank++, -1, blocks(frame, instant)));
    }
  }

  private List<Block> others() {
    return blocks.stream()
        .filter(b -> b == Block.SOC || b == Block.FLAGS || b == Block.COUNTER)
        .toList();
  }

  /** Cells in pages; a last one that is not full has zeros behind them where it is padded. */
  private static List<int[]> pagesOf(Instant instant, int size, boolean isPadded) {
    int[] cells = instant.cellsTenthMv();
    return IntStream.range(0, (cells.length + size - 1) / size)
        .mapToObj(
            n -> {
              int end = (n + 1) * size;
              return Arrays.copyOfRange(
                  cells, n * size, isPadded ? end : Math.min(cells.length, end));
            })
        .toList();
  }

  private byte[] rest(Instant instant) {
    return blocks(blocks, instant);
  }

  private byte[] blocks(List<Block> which, Instant instant) {
    byte[] all = new byte[0];
    for (Block block : which) {
      all = InventedLine.bytes(all, block(block, instant));
    }
    return all;
  }

  private byte[] block(Block block, Instant instant) {
    int[] cells = instant.cellsTenthMv();
    return switch (block) {
      case PACK -> numbers.pack(instant.packMv());
      case CURRENT -> numbers.current(instant.currentMa(), zero());
      case TEMPERATURES -> numbers.temperatures(instant.tenthC());
      case SOC -> InventedLine.bytes(Math.round(instant.socTenths() / 10f));
      case FLAGS -> InventedLine.bytes(3, instant.bleeding() >> 8, instant.bleeding());
      case EXTREMES ->
          numbers.cells(
              new int[] {
                Arrays.stream(cells).max().orElseThrow(), Arrays.stream(cells).min().orElseThrow()
              });
      case CHARGE -> numbers.charge(instant.socTenths());
      case COUNTER -> InventedLine.bytes(filler, counter);
    };
  }

  @Override
  public String toString() {
    boolean isPaged = share.isOfCan() || share == Share.PAGES || share == Share.COUNTED;
    return share.toString().toLowerCase(java.util.Locale.ROOT)
        + (isPaged && page(PAGE) == SHORT_PAGE ? " by two" : "")
        + " "
        + numbers.toString().replace("zero", String.valueOf(zero()))
        + " "
        + blocks;
  }
}
