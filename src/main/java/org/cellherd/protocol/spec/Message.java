package org.cellherd.protocol.spec;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Predicate;
import java.util.function.ToLongFunction;
import java.util.stream.IntStream;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.frame.Bytes;
import org.cellherd.protocol.frame.Frame;

/**
 * One described message of a board.
 *
 * @param name for people
 * @param code the code its answer bears, or {@link Frame#NONE}
 * @param codeMask bits of the code that count
 * @param requestCode the code its request bears
 * @param requestData data of its request
 * @param body what its data means
 * @param optional true when a reading is whole without it
 * @param match bytes in the data that tell it from others of the same code
 * @param pageAt byte of the request's data that asks for a page, or -1: it names none
 * @param line line of the file where it is described
 */
public record Message(
    String name,
    long code,
    long codeMask,
    long requestCode,
    Bytes requestData,
    MessageBody body,
    boolean optional,
    Optional<Match> match,
    int pageAt,
    int line) {

  /** True when each page is asked for by itself. */
  boolean isAskedByPage() {
    return pageAt >= 0;
  }

  /** How it comes page by page, if it does. */
  Optional<Pages> pages() {
    return body instanceof Body data ? data.pages() : Optional.empty();
  }

  /** Data of all its requests, one a page where it is asked so. */
  List<Bytes> requests() {
    int count = isAskedByPage() ? pages().map(Pages::count).orElse(1) : 1;
    return IntStream.range(0, count).mapToObj(this::request).toList();
  }

  /** Data of the request for a page, counted from 0. */
  Bytes request(int page) {
    if (!isAskedByPage()) {
      return requestData;
    }
    byte[] data = requestData.array();
    data[pageAt] = (byte) (pages().orElseThrow().first() + page);
    return Bytes.of(data);
  }

  /**
   * The same, some fields of which tell what other messages are counted by.
   *
   * @param isNeeded by {@code message.field}: what is measured elsewhere is counted by it
   */
  Message telling(Map<String, ToLongFunction<Reading>> others, Predicate<String> isNeeded) {
    return body instanceof Body data
        ? new Message(
            name,
            code,
            codeMask,
            requestCode,
            requestData,
            data.telling(others, f -> isNeeded.test(name + "." + f)),
            optional,
            match,
            pageAt,
            line)
        : this;
  }

  /**
   * Bytes that a message always has.
   *
   * @param at byte of the data, from 0
   * @param bytes what stands there
   */
  public record Match(int at, Bytes bytes) {
    boolean isUnlike(Match other) {
      int from = Math.max(at, other.at);
      int to = Math.min(at + bytes.length(), other.at + other.bytes.length());
      return IntStream.range(from, to)
          .anyMatch(i -> bytes.at(i - at) != other.bytes.at(i - other.at));
    }

    boolean holds(byte[] data) {
      for (int i = 0; i < bytes.length(); i++) {
        if (at + i >= data.length || (data[at + i] & 0xFF) != bytes.at(i)) {
          return false;
        }
      }
      return true;
    }
  }

  /** True when a frame of this code may be this message. */
  boolean bears(long frameCode) {
    return code == Frame.NONE
        || frameCode == Frame.NONE
        || (frameCode & codeMask) == (code & codeMask);
  }

  /** True when one frame may be either: nothing in it must differ. */
  boolean isLike(Message other) {
    boolean isApart =
        match.isPresent() && other.match.isPresent() && match.get().isUnlike(other.match.get());
    boolean isOfOneLength =
        Math.max(body.least(), other.body.least()) <= Math.min(longest(), other.longest());
    return (bears(other.code) || other.bears(code)) && isOfOneLength && !isApart;
  }

  private int longest() {
    return body.mayBe(Integer.MAX_VALUE) ? Integer.MAX_VALUE : body.most();
  }

  /** True when a frame bears this message's code and matching bytes. */
  boolean isIn(Frame frame) {
    return bears(frame.code()) && (match.isEmpty() || match.get().holds(frame.data()));
  }
}
