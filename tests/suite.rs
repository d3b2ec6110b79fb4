mod manuscript;
