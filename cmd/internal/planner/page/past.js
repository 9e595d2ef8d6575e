// What can be undone and done again: the texts of the plan, one after the other.

export class Past {
  constructor(text) {
    this.texts = [text];
    this.at = 0;
  }

  get text() {
    return this.texts[this.at];
  }

  get canUndo() {
    return this.at > 0;
  }

  get canRedo() {
    return this.at + 1 < this.texts.length;
  }

  // add takes a new text. Typing that goes on is one step, not one for each letter.
  add(text, typing = false) {
    if (text === this.text) return;
    const goesOn = typing && this.typing && this.at > 0;
    this.texts.length = this.at + 1;
    if (goesOn) this.texts[this.at] = text;
    else this.at = this.texts.push(text) - 1;
    this.typing = typing;
    if (this.texts.length > 500) {
      this.texts.shift();
      this.at--;
    }
  }

  undo() {
    if (this.canUndo) this.at--;
    this.typing = false;
    return this.text;
  }

  redo() {
    if (this.canRedo) this.at++;
    this.typing = false;
    return this.text;
  }
}
