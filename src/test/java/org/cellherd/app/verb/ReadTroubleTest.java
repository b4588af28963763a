package org.cellherd.app.verb;

import static java.nio.charset.StandardCharsets.US_ASCII;
import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.UnaryOperator;
import org.cellherd.protocol.modbus.ModbusFrames;
import org.cellherd.protocol.spec.Specs;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What {@code read} says of a board that gives no reading, and how long it waits for one. */
class ReadTroubleTest {

  private static final String BOARD =
      """
      spec = 1
      id = "b"
      title = "B"
      %s
      [frame]
      kind = "modbus-rtu"
      [[message]]
      name = "cells"
      function = 3
      base = 0
      register = 0
      count = 2
      field = [ { as = "cell", type = "u16", repeat = 2, unit = "mV" } ]
      """;

  private static final byte[] CELLS = {0x0C, (byte) 0xE5, 0x0C, (byte) 0xE6};

  @TempDir private Path folder;

  private String read(String head, UnaryOperator<byte[]> board) throws Exception {
    Path spec = Files.writeString(folder.resolve("b.toml"), BOARD.formatted(head));
    try (ServerSocket line = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      Thread thread = new Thread(() -> serve(line, board), "board");
      thread.setDaemon(true);
      thread.start();
      Said said =
          Said.by("read", "--link", "tcp:127.0.0.1:" + line.getLocalPort(), "--spec", "" + spec);
      return said.out() + said.err();
    }
  }

  private static void serve(ServerSocket board, UnaryOperator<byte[]> answer) {
    try (Socket line = board.accept()) {
      byte[] request = line.getInputStream().readNBytes(8);
      while (request.length == 8) {
        line.getOutputStream().write(answer.apply(request));
        request = line.getInputStream().readNBytes(8);
      }
    } catch (IOException ended) {
      assertThat(board.isBound()).isTrue();
    }
  }

  @Test
  void aBoardThatSaysNoIsNotTakenForAnotherKindOfLine() throws Exception {
    String said = read("", sent -> ModbusFrames.rtu(true).buildException(1, 3, 2));

    assertThat(said)
        .contains("the board answers with an error", "code 2: illegal data address")
        .doesNotContain("modbus-tcp:", "frames come");
  }

  /** Every known description on a line of another board, as where its name was mistyped. */
  @Test
  void whicheverDescriptionIsWrongTheFirstThingToLookAtIsNamed() throws Exception {
    ExecutorService readers = Executors.newCachedThreadPool();
    List<Future<Said>> all = new ArrayList<>();
    for (String spec : Specs.shippedNames()) {
      all.add(readers.submit(() -> readBeside(spec, "")));
      all.add(readers.submit(() -> readBeside(spec, "\u0002 not of this board 1234\r\n")));
    }

    for (Future<Said> one : all) {
      assertThat(one.get().code()).isEqualTo(3);
      assertThat(one.get().err()).contains("look at").doesNotContain("nothing is known");
    }
    readers.shutdown();
  }

  /** On a line whose board says the same all the time, whatever it is asked. */
  private static Said readBeside(String spec, String words) throws Exception {
    try (ServerSocket line = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      Thread board = new Thread(() -> talk(line, words.getBytes(US_ASCII)), "board");
      board.setDaemon(true);
      board.start();
      return Said.by("read", "--link", "tcp:127.0.0.1:" + line.getLocalPort(), "--spec", spec);
    }
  }

  private static void talk(ServerSocket board, byte[] words) {
    try {
      while (true) {
        try (Socket line = board.accept()) {
          for (int i = 0; words.length > 0 && i < 200; i++) {
            line.getOutputStream().write(words);
            Thread.sleep(100);
          }
          line.getInputStream().readAllBytes();
        }
      }
    } catch (IOException | InterruptedException ended) {
      assertThat(board.isClosed() || board.isBound()).isTrue();
    }
  }

  /** It needs 2.5 s of rest after each question that it missed, and it misses the first two. */
  @Test
  void aBoardThatNeedsRestIsWaitedFor() throws Exception {
    AtomicInteger asked = new AtomicInteger();

    String said =
        read(
            "answer_within_ms = 500\nquiet_after_miss_ms = 2500",
            sent ->
                asked.incrementAndGet() < 3
                    ? new byte[0]
                    : ModbusFrames.rtu(true).build(1, 3, CELLS));

    assertThat(said).contains("cell  1  3.301 V");
  }
}
