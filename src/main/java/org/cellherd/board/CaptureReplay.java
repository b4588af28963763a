package org.cellherd.board;

import java.util.List;

/**
 * Decodes a capture again, by the capture's own clock and as fast as it is fed. Questions find
 * their board by their bytes; a capture of answers alone is taken too. One thread.
 */
public final class CaptureReplay {
  private final List<ReplayedBoard> boards;
  private List<ReplayedBoard> asked;

  /** Replays to a listener; the dialogues of the boards are used up. */
  public CaptureReplay(List<BoardOnLine> boards, BoardListener listener) {
    this.boards = boards.stream().map(b -> new ReplayedBoard(b, listener)).toList();
    this.asked = this.boards;
  }

  public void take(CaptureChunk chunk) {
    if (chunk.isSent()) {
      boards.forEach(ReplayedBoard::silence);
      ask(chunk.bytes());
      return;
    }
    for (ReplayedBoard board : boards) {
      if (board.isListenOnly()) {
        board.endMessageBefore(chunk.atMs());
      }
      if (board.isListenOnly() || asked.contains(board)) {
        board.hear(chunk.atMs(), chunk.bytes());
      }
    }
  }

  private void ask(byte[] sent) {
    List<ReplayedBoard> again = boards.stream().filter(b -> b.isAsked(sent)).toList();
    asked = again.isEmpty() ? boards.stream().filter(b -> b.isAskedAnew(sent)).toList() : again;
  }

  /** Says that the capture is over. */
  public void end() {
    boards.forEach(ReplayedBoard::end);
  }
}
